package w1_test

import (
	"testing"

	"bainward/sensors"
	"bainward/sensors/w1"
)

// Whatever a file says: no panic, and a temperature only from nine bytes with
// their own right checksum, within the chip's range.
func FuzzParseSlave(f *testing.F) {
	for _, seed := range loadFixtures(f) { // fails when there are none
		f.Add(seed.text)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		pad, fault := w1.ParseSlave(text)
		switch fault {
		case sensors.NoFault:
		case sensors.Absent, sensors.BadCRC:
			return
		default:
			t.Fatalf("fault %v; ParseSlave knows only absent and damaged", fault)
		}
		var h sensors.History
		reading := h.Decode(pad)
		if !reading.OK() {
			return
		}
		if sensors.CRC8(pad[:]) != 0 {
			t.Errorf("% x has the wrong checksum but is %v °C", pad, reading.Celsius())
		}
		if c := reading.Celsius(); c < -55 || c > 125 {
			t.Errorf("% x is %v °C", pad, c)
		}
	})
}
