package main

import (
	"strings"
	"testing"
	"time"

	"bainward/sensors"
)

// Scratchpads of a genuine chip: 27.5 °C as published in a test fixture (CRC
// 8Ah recomputed), and the power-on value of the data sheet.
var (
	pad27      = [9]byte{0xB8, 0x01, 0x4B, 0x46, 0x7F, 0xFF, 0x08, 0x10, 0x8A}
	padPowerOn = [9]byte{0x50, 0x05, 0x4B, 0x46, 0x7F, 0xFF, 0x0C, 0x10, 0x1C}
)

func sampleOf(a sensors.Address, pad [9]byte) sensors.Sample {
	var h sensors.History
	return sensors.Sample{Address: a, Reading: h.Decode(pad), Scratchpad: pad, PowerKnown: true}
}

func TestTableSaysOfEachProbeOnlyWhatIsKnown(t *testing.T) {
	parasite := sampleOf(oilProbe, pad27)
	parasite.Parasite = true
	damaged := pad27
	damaged[1] ^= 0x04
	silent := sensors.Sample{Address: lostProbe, Reading: sensors.Failed(sensors.Absent)}
	samples := []sensors.Sample{parasite, sampleOf(bathProbe, padPowerOn), sampleOf(bathProbe, damaged), silent}
	want := []string{
		"28-00000bbb9b13|27.50 °C|ok|12 bit|parasite|looks genuine|north oil",
		"28-000005fba71c|-|restarted without converting (85 °C)|12 bit|own supply|looks genuine|north bath",
		"28-000005fba71c|-|damaged on the wire (CRC)|-|own supply|-|north bath",
		"28-00001010d6ca|-|no answer|-|-|-|-",
	}
	var out strings.Builder
	if err := writeTable(&out, parseSite(t, twoWires), samples, time.Time{}); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")[1:]
	for i, line := range lines {
		if got := columns(line); got != want[i] {
			t.Errorf("line %d is %q, want %q", i, got, want[i])
		}
	}
	if len(lines) != len(want) {
		t.Errorf("%d lines, want %d", len(lines), len(want))
	}
}

// columns puts one bar for each gap of two or more spaces.
func columns(line string) string {
	var parts []string
	for part := range strings.SplitSeq(line, "  ") {
		if part = strings.TrimSpace(part); part != "" {
			parts = append(parts, part)
		}
	}
	return strings.Join(parts, "|")
}
