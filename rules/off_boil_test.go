package rules_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/sensors"
)

// boiling is a bath that comes to a plateau which stands k over the boiling point
// at sea level, 99.974 °C (IAPWS-IF97, region 4).
func boiling(t *testing.T, change func(*series), k float64) *series {
	s := newSeries(t)
	if change != nil {
		change(s)
	}
	s.do("fill 1.85 kg; charge; light")
	s.to(15*time.Minute, 60, 99.974+k)
	s.do("turn-down")
	s.to(3*time.Minute, 85, s.bath)
	return s
}

// An uncalibrated probe may stand 1 °C (data sheet 19-7487), the pressure's 0.06 K
// and 0.6 K of depth and metal over the boiling point.
func TestABathProbeThatStandsOverItsBoilIsDoubted(t *testing.T) {
	for _, c := range []struct {
		k    float64
		want rules.Level
	}{{1.5, rules.Clear}, {1.8, rules.Raised}, {0, rules.Clear}, {-4, rules.Clear}} {
		s := boiling(t, nil, c.k)
		s.is(rules.ProbeDoubtful, rules.Clear)
		s.stay(5 * time.Minute)
		s.is(rules.ProbeDoubtful, c.want)
		s.is(rules.BoilingDry, rules.Clear)
	}
	s := boiling(t, nil, 1.8)
	s.stay(5 * time.Minute)
	if said, want := s.says(rules.ProbeDoubtful), "The bath probe reads 1.8 °C above where water boils here now (100.0 °C): calibrate it"; !strings.HasPrefix(said, want) {
		t.Errorf("it says %q, want %q", said, want)
	}
	s.to(30*time.Second, s.oil, s.bath-0.5)
	s.stay(3 * time.Minute)
	s.is(rules.ProbeDoubtful, rules.Clear) // it came down
}

// The uncertainty of a calibration takes the place of the data sheet's.
func TestACalibratedProbeIsDoubtedSooner(t *testing.T) {
	calibrated := func(s *series) { s.cfg.Probes[sensors.Bath] = rules.Correction{Uncertainty: 0.3} }
	s := boiling(t, calibrated, 1.1)
	s.stay(5 * time.Minute)
	s.is(rules.ProbeDoubtful, rules.Raised)
	s = boiling(t, calibrated, 0.9)
	s.stay(5 * time.Minute)
	s.is(rules.ProbeDoubtful, rules.Clear)
}

// Without a barometer the weather may move the boiling point by 0.83 K (3 kPa, ISO
// 2533 and IAPWS-IF97): what it explains is no fault of the probe.
func TestTheWeatherExplainsASiteWithoutABarometer(t *testing.T) {
	blind := func(s *series) { s.pressure = sensors.Pressure{Fault: sensors.NotFitted} }
	s := boiling(t, blind, 2.3)
	s.stay(10 * time.Minute)
	s.is(rules.ProbeDoubtful, rules.Clear)
	s = boiling(t, blind, 2.6)
	s.stay(10 * time.Minute)
	s.is(rules.ProbeDoubtful, rules.Raised)
}

// A record that was made before there was such a limit holds none, and is judged as
// it was.
func TestWithoutItsLimitNobodyLooksAtTheBoil(t *testing.T) {
	s := boiling(t, func(s *series) { s.cfg.Limits.ProbeDoubtful.BoilS = 0 }, 1.8)
	s.stay(10 * time.Minute)
	s.is(rules.ProbeDoubtful, rules.Clear)
	if b, ok := s.s.Boil(); ok {
		t.Errorf("it knows of a boil: %+v", b)
	}
}

// The hardest boil of a maceration is what its drift is told from: a quiet simmer
// after it changes nothing, and the next light begins anew.
func TestTheHardestBoilIsKeptUntilTheNextIsLit(t *testing.T) {
	s := boiling(t, nil, 0.4)
	s.to(time.Minute, 86, 98.5)
	s.stay(10 * time.Minute)
	s.do("strain")
	b, ok := s.s.Boil()
	if !ok || math.Abs(b.OffK-0.4) > 0.05 || math.Abs(b.BoilingC-99.974) > 0.01 || !b.Measured {
		t.Errorf("the boil is %+v, %v; want 0.4 K over 99.974 °C", b, ok)
	}
	s.do("recharge")
	if b, ok := s.s.Boil(); ok {
		t.Errorf("before it boils again, the boil is %+v", b)
	}
}

// A probe in melting ice, or in a kettle, is no bath: nothing that it reads lights
// one, and nobody misses it.
func TestAProbeThatIsAwayIsNotTakenForItsBath(t *testing.T) {
	s := newSeries(t)
	s.still = true
	s.stay(time.Minute)
	s.cfg.Probes[sensors.Bath].Away = true
	s.watch()
	s.to(20*time.Second, 20, 0)
	s.stay(3 * time.Minute)
	for range 3 { // whichever way the minutes fall into the windows
		s.to(10*time.Minute, 20, 100)
		s.to(30*time.Second, 20, 0)
	}
	if n := s.s.Noticed(); n != rules.NoEvent {
		t.Errorf("it noticed %s", n)
	}
	if _, fault := s.s.Celsius(sensors.Bath); fault != sensors.NotFitted {
		t.Errorf("the bath is %s, want not fitted", fault)
	}
	s.quiet()
	s.cfg.Probes[sensors.Bath].Away = false
	s.stay(time.Minute)
	if c, fault := s.s.Celsius(sensors.Bath); fault != sensors.NoFault || c != 0 {
		t.Errorf("once it is back, the bath is %.1f °C, %s", c, fault)
	}
}
