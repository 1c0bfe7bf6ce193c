package sensors_test

import (
	"testing"

	"bainward/sensors"
)

// Whatever nine bytes follow whatever nine: no panic, and a temperature only
// with the right checksum, from a possible configuration, within the range, and
// never from a wire held low.
func FuzzDecode(f *testing.F) {
	if len(pads) == 0 {
		f.Fatal("no seeds")
	}
	for _, p := range pads {
		f.Add(p.pad[:], p.pad[:])
		near := copyAt(raw85 - 1)
		f.Add(near[:], p.pad[:])
	}
	f.Add(make([]byte, 9), make([]byte, 9))
	f.Fuzz(func(t *testing.T, before, now []byte) {
		var first, pad [9]byte
		copy(first[:], before)
		copy(pad[:], now)
		var h sensors.History
		h.Decode(first)
		r := h.Decode(pad)
		sensors.Judge(genuine, pad)
		if !r.OK() {
			if r.Temperature != 0 {
				t.Errorf("% X: %v beside %v", pad, r.Temperature, r.Fault)
			}
			return
		}
		if sensors.CRC8(pad[:]) != 0 || pad == [9]byte{} {
			t.Errorf("% X: wrong checksum or held low, but %v °C", pad, r.Celsius())
		}
		if c := r.Celsius(); c < -55 || c > 125 {
			t.Errorf("% X: %v °C", pad, c)
		}
		if again := sensors.At(r.Temperature); again != r {
			t.Errorf("% X: %v is not on the grid", pad, r.Temperature)
		}
	})
}
