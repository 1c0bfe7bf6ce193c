package w1_test

import (
	"testing"

	"bainward/sensors"
	"bainward/sensors/bench/wire"
)

// Emulated chips, shown as the kernel shows them, read through the real files.
func TestFaultsOfEmulatedChipsArriveUnderTheirOwnNames(t *testing.T) {
	celsius := 80.0
	r := newRig(t)
	line := wire.NewLine((&wire.ManualClock{}).Clock())
	chip := line.Add(wire.ChipOptions{Address: oil, Celsius: func() float64 { return celsius }})
	line.Add(wire.ChipOptions{Address: bath, Celsius: func() float64 { return 99.9375 }, Parasite: true})
	kernel := wire.NewKernel(r.root, line, wire.KernelOptions{Bulk: true, Old: true})
	if err := kernel.Refresh(); err != nil {
		t.Fatal(err)
	}
	r.open()
	if found, err := r.wire.Probes(t.Context()); err != nil || len(found) != 2 {
		t.Errorf("found %v, %v; want both", found, err)
	}
	for _, s := range []struct {
		what    string
		celsius float64
		chip    wire.ChipFaults
		line    wire.LineFaults
		want    sensors.Reading
	}{
		{"good", 80, wire.ChipFaults{}, wire.LineFaults{}, sensors.AtCelsius(80)},
		{"true 85 °C", 85, wire.ChipFaults{}, wire.LineFaults{}, sensors.AtCelsius(85)},
		{"brown-out", 85, wire.ChipFaults{BrownOut: true}, wire.LineFaults{}, sensors.Failed(sensors.PowerOn)},
		{"missing", 85, wire.ChipFaults{Missing: true}, wire.LineFaults{}, sensors.Failed(sensors.Absent)},
		{"damaged", 85, wire.ChipFaults{FlipBits: 1}, wire.LineFaults{}, sensors.Failed(sensors.BadCRC)},
		{"conversion failed", 85, wire.ChipFaults{ConversionFails: true}, wire.LineFaults{}, sensors.Failed(sensors.ConversionFailed)},
		{"too hot", 125.5, wire.ChipFaults{}, wire.LineFaults{}, sensors.Failed(sensors.OutOfRange)},
		{"shorted", 85, wire.ChipFaults{}, wire.LineFaults{Short: true}, sensors.Failed(sensors.AllZero)},
		{"cut", 85, wire.ChipFaults{}, wire.LineFaults{Open: true}, sensors.Failed(sensors.Absent)},
		{"mended", 86, wire.ChipFaults{}, wire.LineFaults{}, sensors.AtCelsius(86)},
	} {
		celsius = s.celsius
		chip.SetFaults(s.chip)
		line.SetFaults(s.line)
		if err := kernel.Refresh(); err != nil {
			t.Fatal(err)
		}
		r.want(s.what, oil, s.want)
	}
	samples := r.read(oil, bath)
	if !samples[0].PowerKnown || samples[0].Parasite || !samples[1].PowerKnown || !samples[1].Parasite {
		t.Errorf("supplies are told as %+v, want the second probe only on parasite power", samples)
	}
	wantReading(t, "the other", samples[1].Reading, sensors.AtCelsius(99.9375))
}
