package calibrate_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"periph.io/x/conn/v3/physic"

	"bainward/rules/calibrate"
	"bainward/sensors"
)

// read is what a chip at 12 bits says at celsius.
func read(celsius float64) sensors.Reading {
	step := physic.Kelvin / 16
	return sensors.Reading{Temperature: physic.ZeroCelsius + physic.Temperature(math.Round(celsius*16))*step}
}

// filled is a window after n readings, one a second.
func filled(n int, celsius func(s float64) float64) *calibrate.Window {
	w := new(calibrate.Window)
	for i := range n {
		w.Add(time.Duration(i)*time.Second, read(celsius(float64(i))))
	}
	return w
}

// A probe that says the same value to the last bit stands still, and is known to the
// step of its chip.
func TestOneValueIsSteady(t *testing.T) {
	s := filled(calibrate.Needed, func(float64) float64 { return 0.3125 }).Stand()
	if !s.Steady() {
		t.Fatalf("not steady: %s", s.Why)
	}
	near(t, "the mean", s.Mean, 0.3125, 1e-12)
	near(t, "its uncertainty", s.Uncertainty(), calibrate.Resolution(calibrate.Step), 1e-12)
}

// A temperature that lies between two steps makes the chip go to and fro; that is no
// slope and no wandering, and the mean lies between them.
func TestGoingToAndFroBetweenTwoStepsIsSteady(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	s := filled(200, func(float64) float64 { return 0.03 + 0.03*r.NormFloat64() }).Stand()
	if !s.Steady() {
		t.Fatalf("not steady: %s", s.Why)
	}
	near(t, "the mean", s.Mean, 0.03, 0.02)
	if s.N != calibrate.Needed {
		t.Errorf("the mean is over %d readings, want the last %d", s.N, calibrate.Needed)
	}
}

// A rolling boil moves the probe by a step or two, which is steady enough.
func TestARollingBoilIsSteady(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	if s := filled(120, func(float64) float64 { return 99.1 + 0.1*r.NormFloat64() }).Stand(); !s.Steady() {
		t.Errorf("not steady: %s", s.Why)
	}
}

// A probe on its way into the ice (time constant 12 s: Hamburg loggers 2023, 7 to
// 18 s) is not believed until it is there.
func TestAProbeThatCoolsIsNotSteadyUntilItIsThere(t *testing.T) {
	way := func(s float64) float64 { return 20 * math.Exp(-s/12) }
	early := filled(calibrate.Needed, way).Stand()
	if early.Steady() || !strings.Contains(early.Why, "still falls") {
		t.Errorf("after a minute: %q", early.Why)
	}
	w := new(calibrate.Window)
	for i := range 300 {
		w.Add(time.Duration(i)*time.Second, read(way(float64(i))))
		if s := w.Stand(); s.Steady() {
			if math.Abs(s.Mean) > calibrate.Step {
				t.Errorf("taken after %d s at %.3f °C, and it is on its way to 0", i, s.Mean)
			}
			return
		}
	}
	t.Error("it never became steady")
}

// Water that is still being heated is told as rising.
func TestAProbeThatWarmsIsNotSteady(t *testing.T) {
	if s := filled(90, func(s float64) float64 { return 95 + s/120 }).Stand(); !strings.Contains(s.Why, "still rises, by 0.50 K a minute") {
		t.Errorf("it says %q", s.Why)
	}
}

// A probe that swings without going anywhere is told to wander.
func TestAProbeThatSwingsIsNotSteady(t *testing.T) {
	if s := filled(90, func(s float64) float64 { return 0.5 + 0.5*math.Sin(s) }).Stand(); !strings.Contains(s.Why, "wanders") {
		t.Errorf("it says %q", s.Why)
	}
}

// Too few readings are counted out, and a fault begins the row anew.
func TestAFaultBeginsTheRowAnew(t *testing.T) {
	w := new(calibrate.Window)
	if s := w.Stand(); s.Why != "no reading yet" {
		t.Errorf("nothing was read: %q", s.Why)
	}
	w = filled(calibrate.Needed, func(float64) float64 { return 0 })
	w.Add(time.Hour, sensors.Failed(sensors.BadCRC))
	if s := w.Stand(); !strings.Contains(s.Why, sensors.BadCRC.String()) {
		t.Errorf("after a fault: %q", s.Why)
	}
	w.Add(time.Hour+time.Second, read(0))
	if s := w.Stand(); s.Why != "1 of 60 readings so far" {
		t.Errorf("after the fault: %q", s.Why)
	}
}

// Chance alone hardly ever makes a level row look as if it went somewhere.
func TestALevelRowIsSeldomRefused(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	refused := 0
	for range 1000 {
		if !filled(calibrate.Needed, func(float64) float64 { return 0.1 * r.NormFloat64() }).Stand().Steady() {
			refused++
		}
	}
	if refused > 10 {
		t.Errorf("%d of 1000 level rows were refused, want 3 or so", refused)
	}
}
