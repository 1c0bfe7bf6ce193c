package bench

import (
	"math"
	"testing"
	"time"

	"bainward/sensors"
)

func TestReadingsLieOnTheChipsGrid(t *testing.T) {
	for _, m := range play(t, DefaultRig(), load(t, "nominal-0m"), 7*time.Second) {
		for role, r := range m.Probes {
			if steps := r.Celsius() * 16; steps != math.Trunc(steps) {
				t.Fatalf("%v reads %v °C at %s: not a sixteenth", sensors.Role(role), r.Celsius(), m.At)
			}
		}
	}
}

// The corners of the DS18B20's range (data sheet 19-7487).
func TestOutOfRangeIsAFaultAndNotATemperature(t *testing.T) {
	for c, want := range map[float64]sensors.Fault{
		-55: sensors.NoFault, 125: sensors.NoFault, 85: sensors.NoFault,
		-55.1: sensors.OutOfRange, 125.1: sensors.OutOfRange,
	} {
		if got := onGrid(c).Fault; got != want {
			t.Errorf("%g °C: %q, want %q", c, got, want)
		}
	}
}

// A first-order lag covers 63.2 % of a step in its time constant and lags a
// ramp by rate times constant: 0.33 °C at 2 K/min and 10 s.
func TestAProbeLagsByItsTimeConstant(t *testing.T) {
	p := newPan(t, DefaultRig())
	p.Pour(2)
	p.Advance(time.Minute)
	spec := ProbeSpec{Place: Hanging, Height: 5, Lag: 10, AirLag: 60}
	b := NewProbe(spec, 1, 115)
	for range 10 {
		b.Follow(p, 1)
	}
	near(t, "share of the step", (115-b.Celsius())/(115-p.temp[water]), 0.632, 0.002)

	ramp := NewProbe(spec, 1, p.temp[water])
	for range 200 {
		p.temp[water] += 2.0 / 60
		ramp.Follow(p, 1)
	}
	near(t, "lag behind a ramp", p.temp[water]-ramp.Celsius(), 0.33, 0.02)
}

// Data sheet 19-7487: ±0.5 °C to +85 °C, ±1 °C to +100 °C (second row from memory).
func TestDrawnProbesKeepTheDataSheetsBand(t *testing.T) {
	for seed := range uint64(200) {
		r := Vary(seed)
		for _, s := range []ProbeSpec{r.OilProbe, r.BathProbe, r.RoomProbe} {
			at := func(c float64) float64 { return math.Abs(s.ErrorAt0 + (s.ErrorAt100-s.ErrorAt0)*c/100) }
			if at(0) > 0.5 || at(85) > 0.5 || at(100) > 1 {
				t.Errorf("rig %d: a probe is %.2f, %.2f and %.2f K off at 0, 85 and 100 °C", seed, at(0), at(85), at(100))
			}
		}
	}
}

func TestARollingBoilIsNoisierThanASimmer(t *testing.T) {
	spread := func(watt float64) float64 {
		p := newPan(t, kettle(defaultStep))
		p.Pour(2)
		p.SetHob(3000)
		p.Advance(10 * time.Minute)
		p.SetHob(watt)
		p.Advance(5 * time.Minute)
		b := NewProbe(DefaultRig().BathProbe, 3, 100)
		var sum, squares float64
		const n = 600
		for range n {
			p.Advance(time.Second)
			b.Follow(p, 1)
			b.Shake(p)
			sum += b.noise
			squares += b.noise * b.noise
		}
		return math.Sqrt(squares/n - sum/n*sum/n)
	}
	if quiet, rolling := spread(300), spread(1200); rolling < 2*quiet {
		t.Errorf("noise %.3f K at a simmer, %.3f K at a rolling boil", quiet, rolling)
	}
}
