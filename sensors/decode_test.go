package sensors_test

import (
	"testing"

	"bainward/sensors"
)

// decode judges a scratchpad without a history.
func decode(pad [9]byte) sensors.Reading {
	var h sensors.History
	return h.Decode(pad)
}

func wantReading(t *testing.T, what string, got, want sensors.Reading) {
	t.Helper()
	if got != want {
		t.Errorf("%s: got %v °C (%v), want %v °C (%v)", what, got.Celsius(), got.Fault, want.Celsius(), want.Fault)
	}
}

// DS18B20 data sheet 19-7487, table "Temperature/Data Relationship".
func TestTheDataSheetsTemperatureTable(t *testing.T) {
	for _, c := range []struct {
		raw     uint16
		celsius float64
	}{
		{0x07D0, 125},
		{0x0550, 85},
		{0x0191, 25.0625},
		{0x00A2, 10.125},
		{0x0008, 0.5},
		{0x0000, 0},
		{0xFFF8, -0.5},
		{0xFF5E, -10.125},
		{0xFE6F, -25.0625},
		{0xFC90, -55},
	} {
		got := decode(genuineAt(c.raw))
		if !got.OK() || got.Celsius() != c.celsius {
			t.Errorf("%04X: got %v °C (%v), want %v", c.raw, got.Celsius(), got.Fault, c.celsius)
		}
	}
}

func TestPublishedScratchpadsAsAFirstReading(t *testing.T) {
	for _, p := range pads {
		wantReading(t, p.from, decode(p.pad), p.want)
	}
}

func TestADeadWireIsNotATemperature(t *testing.T) {
	wantReading(t, "held low", decode([9]byte{}), sensors.Failed(sensors.AllZero))
	ones := [9]byte{0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF}
	wantReading(t, "floating", decode(ones), sensors.Failed(sensors.AllOnes))
	var zeroPad [9]byte
	zeroPad[0] = 0x10
	wantReading(t, "nearly held low", decode(zeroPad), sensors.Failed(sensors.BadCRC))
}

// Samples that go round in public code and documents, edited by hand: the true
// checksums are E8h and 96h.
func TestSamplesWithAWrongChecksumAreDamaged(t *testing.T) {
	for _, pad := range [][9]byte{
		{0x50, 0x01, 0x4B, 0x46, 0x7F, 0xFF, 0x0C, 0x10, 0x1C},
		{0x90, 0x01, 0x55, 0x05, 0x7F, 0x7E, 0x81, 0x66, 0x27},
	} {
		wantReading(t, "edited by hand", decode(pad), sensors.Failed(sensors.BadCRC))
	}
}

func TestEveryWrongBitIsDamage(t *testing.T) {
	good := genuineAt(0x01B8)
	for i := range 72 {
		bad := good
		bad[i/8] ^= 1 << (i % 8)
		wantReading(t, "one wrong bit", decode(bad), sensors.Failed(sensors.BadCRC))
	}
}

// The chip measures −55…+125 °C (data sheet 19-7487).
func TestTemperaturesThatTheChipCannotMeasureAreOutOfRange(t *testing.T) {
	for _, raw := range []uint16{0x07D1, 0x0800, 0x7FF0, 0x8000, 0xFC8F} {
		wantReading(t, "too far", decode(genuineAt(raw)), sensors.Failed(sensors.OutOfRange))
	}
}

// Bits 7 and 4…0 of the configuration byte are fixed (data sheet 19-7487,
// "Configuration Register"); 0 R1 R0 1 1 1 1 1.
func TestOnlyFourConfigurationBytesArePossible(t *testing.T) {
	possible := map[byte]int{0x1F: 9, 0x3F: 10, 0x5F: 11, 0x7F: 12}
	for c := range 256 {
		pad := sealed(0xB8, 0x01, 0x4B, 0x46, byte(c), 0xFF, 0x08, 0x10)
		bits, ok := possible[byte(c)]
		if !ok {
			wantReading(t, "impossible configuration", decode(pad), sensors.Failed(sensors.OutOfRange))
			continue
		}
		wantReading(t, "possible configuration", decode(pad), sensors.AtCelsius(27.5))
		if got := sensors.Resolution(pad); got != bits {
			t.Errorf("%02X: %d bits, want %d", c, got, bits)
		}
	}
}

// Data sheet 19-7487: at 11 bits bit 0 is undefined, at 10 bits 1 and 0, at 9
// bits 2 to 0.
func TestUndefinedLowBitsAreIgnored(t *testing.T) {
	for _, c := range []struct {
		config    byte
		undefined uint16
	}{{0x1F, 7}, {0x3F, 3}, {0x5F, 1}, {0x7F, 0}} {
		for _, base := range []uint16{0x0198, 0xFE68, 0x0000, 0x0550, 0x07D0, 0xFC90} {
			want := sensors.AtCelsius(float64(int16(base)) / 16)
			for noise := range c.undefined + 1 {
				raw := base | noise
				pad := sealed(byte(raw), byte(raw>>8), 0x4B, 0x46, c.config, 0xFF, 0x10-byte(raw&0x0F), 0x10)
				wantReading(t, "with noise", decode(pad), want)
			}
		}
	}
}

// At 12 bits bit 0 is a sixteenth of a degree and must not be lost.
func TestAllBitsCountAt12Bits(t *testing.T) {
	for raw := int16(-55 * 16); raw <= 125*16; raw++ {
		wantReading(t, "step", decode(genuineAt(uint16(raw))), sensors.AtCelsius(float64(raw)/16))
	}
}
