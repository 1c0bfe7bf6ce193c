package bridge_test

import (
	"testing"
	"time"

	"bainward/sensors"
	"bainward/sensors/bench/wire"
	"bainward/sensors/bridge"
)

func parasite(a sensors.Address, celsius float64) wire.ChipOptions {
	o := at(a, celsius)
	o.Parasite = true
	return o
}

func TestParasiteProbesAreFedThroughTheWholeConversion(t *testing.T) {
	r := newRig(t, parasite(oil, 80), at(bath, 90))
	before := r.clock.Now()
	samples := r.read(oil, bath)
	for i, want := range []float64{80, 90} {
		if samples[i].Reading != sensors.AtCelsius(want) {
			t.Errorf("got %v °C (%v), want %v", samples[i].Reading.Celsius(), samples[i].Reading.Fault, want)
		}
		if !samples[i].PowerKnown {
			t.Errorf("%v was not asked for its supply", samples[i].Address)
		}
	}
	if !samples[0].Parasite || samples[1].Parasite {
		t.Errorf("parasite: got %v and %v, want the first only", samples[0].Parasite, samples[1].Parasite)
	}
	// tCONV at 12 bits (data sheet 19-7487, AC characteristics).
	if took := r.clock.Now() - before; took < 750*time.Millisecond {
		t.Errorf("the poll took %v, want at least 750 ms", took)
	}
}

// The emulated chip loses its supply if the line moves while it converts, so
// this shows that the test above can fail.
func TestParasiteProbesFedTooShortlyRestart(t *testing.T) {
	r := newBus(t, parasite(oil, 80))
	r.open(bridge.Options{Timing: bridge.Timing{Parasite: 100 * time.Millisecond}})
	wantFault(t, "cut short", r.readings(oil)[0], sensors.PowerOn)
}

func TestProbesWithASupplyAreKnownToHaveOne(t *testing.T) {
	s := newRig(t, at(oil, 80)).read(oil)[0]
	if !s.PowerKnown || s.Parasite {
		t.Errorf("known %v, parasite %v; want known and not parasite", s.PowerKnown, s.Parasite)
	}
}

// A chip that is plugged in later, and whose supply wire is broken, lives on
// the data wire.
func TestABrokenSupplyWireCostsOnePoll(t *testing.T) {
	r := newRig(t, at(bath, 90), parasite(oil, 80))
	r.chip(oil).SetFaults(wire.ChipFaults{Missing: true})
	r.readings(oil, bath)
	r.chip(oil).SetFaults(wire.ChipFaults{})
	wantFault(t, "first poll", r.readings(oil, bath)[0], sensors.PowerOn)
	samples := r.read(oil, bath)
	wantFault(t, "second poll", samples[0].Reading, sensors.NoFault)
	if !samples[0].Parasite {
		t.Error("the probe is not known to live on the data wire")
	}
}

// Copies of family D power up at 25 °C (C. Petrich,
// github.com/cpetrich/counterfeit_DS18B20), which no decoder can tell from a
// reading: the supply must be asked for because the probe came back.
func TestAProbePluggedInAgainIsAskedForItsSupply(t *testing.T) {
	copied := parasite(oil, 80)
	copied.PowerOn = [8]byte{0x90, 0x01, 0x55, 0x05, 0x7F, 0xFF, 0x0C, 0x10}
	r := newRig(t, at(bath, 90), copied)
	r.chip(oil).SetFaults(wire.ChipFaults{Missing: true})
	r.readings(oil, bath)
	r.chip(oil).SetFaults(wire.ChipFaults{})
	r.readings(oil, bath)
	if got := r.readings(oil, bath)[0]; got != sensors.AtCelsius(80) {
		t.Errorf("second poll: got %v °C (%v), want 80", got.Celsius(), got.Fault)
	}
}
