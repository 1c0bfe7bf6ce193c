package bridge_test

import (
	"testing"

	"periph.io/x/conn/v3/physic"

	"bainward/sensors"
	"bainward/sensors/bench/wire"
)

// The temperature/data table of the DS18B20 data sheet (19-7487; DS18B20-PAR
// table 2), over the wire.
func TestTemperaturesOfTheDataSheetComeOverTheWire(t *testing.T) {
	for _, c := range []struct {
		milli int64 // 1/1000 °C, truncated as the kernel does
		raw   [2]byte
	}{
		{125000, [2]byte{0xD0, 0x07}},
		{85000, [2]byte{0x50, 0x05}}, // a true one: byte 6 tells
		{25062, [2]byte{0x91, 0x01}},
		{10125, [2]byte{0xA2, 0x00}},
		{500, [2]byte{0x08, 0x00}},
		{0, [2]byte{0x00, 0x00}},
		{-500, [2]byte{0xF8, 0xFF}},
		{-10125, [2]byte{0x5E, 0xFF}},
		{-25062, [2]byte{0x6F, 0xFE}},
		{-55000, [2]byte{0x90, 0xFC}},
	} {
		exact := float64(int16(uint16(c.raw[1])<<8|uint16(c.raw[0]))) / 16
		s := newRig(t, at(oil, exact)).read(oil)[0]
		if !s.Reading.OK() {
			t.Errorf("%v °C: %v", exact, s.Reading.Fault)
			continue
		}
		if got := int64((s.Reading.Temperature - physic.ZeroCelsius) / physic.MilliKelvin); got != c.milli {
			t.Errorf("%v °C: got %d m°C, want %d", exact, got, c.milli)
		}
		if [2]byte(s.Scratchpad[:2]) != c.raw {
			t.Errorf("%v °C: scratchpad % X, want it to begin with % X", exact, s.Scratchpad, c.raw)
		}
	}
}

// The scratchpad of a true 85.0 °C was published with its CRC (C. Petrich,
// github.com/cpetrich/counterfeit_DS18B20).
func TestTrue85PassesOnAGenuineChip(t *testing.T) {
	s := newRig(t, at(oil, 85)).read(oil)[0]
	if s.Reading != sensors.AtCelsius(85) {
		t.Errorf("got %v °C (%v), want 85", s.Reading.Celsius(), s.Reading.Fault)
	}
	if want := [9]byte{0x50, 0x05, 0x4B, 0x46, 0x7F, 0xFF, 0x10, 0x10, 0xBD}; s.Scratchpad != want {
		t.Errorf("scratchpad % X, want % X", s.Scratchpad, want)
	}
}

func TestACopyWithFrozenByteSixPasses85OnTheWayUp(t *testing.T) {
	celsius := 83.0
	r := newRig(t, wire.ChipOptions{Address: clone, SixFrozen: true, Celsius: func() float64 { return celsius }})
	for ; celsius <= 87; celsius += 0.5 {
		if got := r.readings(clone)[0]; got != sensors.AtCelsius(celsius) {
			t.Errorf("at %v °C: got %v °C (%v)", celsius, got.Celsius(), got.Fault)
		}
	}
}

// Undefined low bits are no part of the reading (DS18B20-PAR data sheet, table 3).
func TestNineBitsStepByHalfADegree(t *testing.T) {
	nine := at(oil, 20.4375)
	nine.PowerOn = [8]byte{0x50, 0x05, 0x00, 0x00, 0x1F, 0xFF, 0x0C, 0x10} // C. Petrich, "A1-fishy"
	if got := newRig(t, nine).readings(oil)[0]; got != sensors.AtCelsius(20) {
		t.Errorf("got %v °C (%v), want 20", got.Celsius(), got.Fault)
	}
}

func TestEachProbeKeepsItsOwnTemperature(t *testing.T) {
	r := newRig(t, at(oil, 88.5), at(bath, 97.25))
	got := r.readings(bath, oil)
	if got[0] != sensors.AtCelsius(97.25) || got[1] != sensors.AtCelsius(88.5) {
		t.Errorf("got bath %v °C and oil %v °C, want 97.25 and 88.5", got[0].Celsius(), got[1].Celsius())
	}
}
