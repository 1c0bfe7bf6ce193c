package sensors_test

import (
	"testing"

	"bainward/sensors"
)

const (
	raw85   = 0x0550
	failing = 0x07FF
)

// The rule of byte 6 is C. Petrich's, github.com/cpetrich/counterfeit_DS18B20,
// "Solution to the 85 °C-Problem".

func TestAGenuineChipTellsATrue85FromItsRestart(t *testing.T) {
	var h sensors.History
	for _, s := range []struct {
		what string
		pad  [9]byte
		want sensors.Reading
	}{
		{"first, restarted", copyAt(raw85), sensors.Failed(sensors.PowerOn)},
		{"84.9375 °C", genuineAt(raw85 - 1), sensors.AtCelsius(84.9375)},
		{"true 85 °C", genuineAt(raw85), sensors.AtCelsius(85)},
		{"restarted in the middle of it", copyAt(raw85), sensors.Failed(sensors.PowerOn)},
		{"true 85 °C again", genuineAt(raw85), sensors.AtCelsius(85)},
		// A genuine chip has 0Ch in byte 6 wherever byte 0 ends in 4, which
		// must not make it pass for a copy.
		{"84.25 °C", genuineAt(raw85 - 12), sensors.AtCelsius(84.25)},
		{"restarted once more", copyAt(raw85), sensors.Failed(sensors.PowerOn)},
	} {
		wantReading(t, s.what, h.Decode(s.pad), s.want)
	}
}

func TestACopyWithAFrozenByteSixIsBelievedNear85Only(t *testing.T) {
	var h sensors.History
	for _, s := range []struct {
		what string
		pad  [9]byte
		want sensors.Reading
	}{
		{"first", copyAt(raw85), sensors.Failed(sensors.PowerOn)},
		{"20 °C", copyAt(20 * 16), sensors.AtCelsius(20)},
		{"restarted in cold water", copyAt(raw85), sensors.Failed(sensors.PowerOn)},
		{"82.9375 °C", copyAt(raw85 - 33), sensors.AtCelsius(82.9375)},
		{"a leap of more than 2 °C", copyAt(raw85), sensors.Failed(sensors.PowerOn)},
		{"83 °C", copyAt(raw85 - 32), sensors.AtCelsius(83)},
		{"on the way up", copyAt(raw85), sensors.AtCelsius(85)},
		{"still there", copyAt(raw85), sensors.AtCelsius(85)},
		{"87 °C", copyAt(raw85 + 32), sensors.AtCelsius(87)},
		{"on the way down", copyAt(raw85), sensors.AtCelsius(85)},
		{"87.0625 °C", copyAt(raw85 + 33), sensors.AtCelsius(87.0625)},
		{"a fall of more than 2 °C", copyAt(raw85), sensors.Failed(sensors.PowerOn)},
		{"no witness after a restart", copyAt(raw85), sensors.Failed(sensors.PowerOn)},
	} {
		wantReading(t, s.what, h.Decode(s.pad), s.want)
	}
}

// At 84.25 °C byte 0 ends in 4, and 0Ch is what a genuine chip has there: alone
// it is no sign of a copy.
func TestAReadingThatFitsAGenuineChipDoesNotMakeItACopy(t *testing.T) {
	var h sensors.History
	wantReading(t, "84.25 °C", h.Decode(copyAt(raw85-12)), sensors.AtCelsius(84.25))
	wantReading(t, "restarted", h.Decode(copyAt(raw85)), sensors.Failed(sensors.PowerOn))
}

// What takes the supply away takes the witness with it. Damage on the wire does
// not: the chip never noticed.
func TestAfterALossOfSupplyNearbyReadingsAreNoWitness(t *testing.T) {
	ones := [9]byte{0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF}
	damaged := copyAt(raw85)
	damaged[2] ^= 1
	for _, c := range []struct {
		what    string
		between func(*sensors.History)
		want    sensors.Reading
	}{
		{"nothing", func(*sensors.History) {}, sensors.AtCelsius(85)},
		{"damage", func(h *sensors.History) { h.Decode(damaged) }, sensors.AtCelsius(85)},
		{"no answer", (*sensors.History).Lost, sensors.Failed(sensors.PowerOn)},
		{"wire held low", func(h *sensors.History) { h.Decode([9]byte{}) }, sensors.Failed(sensors.PowerOn)},
		{"wire floating", func(h *sensors.History) { h.Decode(ones) }, sensors.Failed(sensors.PowerOn)},
		{"conversion failed", func(h *sensors.History) { h.Decode(copyAt(failing)) }, sensors.Failed(sensors.PowerOn)},
	} {
		var h sensors.History
		h.Decode(copyAt(raw85 - 1))
		c.between(&h)
		wantReading(t, "after "+c.what, h.Decode(copyAt(raw85)), c.want)
	}
}

// At 9 bits the three lowest bits are undefined, but byte 6 goes with them: with
// 0554h, which is 85.0 °C, a chip rightly holds 0Ch.
func TestAtLowResolution85WithNoiseIsNotARestart(t *testing.T) {
	wantReading(t, "0554h", decode(sealed(0x54, 0x05, 0x4B, 0x46, 0x1F, 0xFF, 0x0C, 0x10)), sensors.AtCelsius(85))
	wantReading(t, "0550h", decode(sealed(0x50, 0x05, 0x4B, 0x46, 0x1F, 0xFF, 0x0C, 0x10)), sensors.Failed(sensors.PowerOn))
}
