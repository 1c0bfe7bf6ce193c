package calibrate_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"bainward/rules/calibrate"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %.6f, want %.6f within %g", what, got, want, within)
	}
}

// point is a point with the uncertainties that a kitchen reaches.
func point(reads, truth float64) calibrate.Point {
	return calibrate.Point{Reads: reads, ReadsU: 0.02, Truth: calibrate.Truth{C: truth, U: 0.06}}
}

// The two-point correction of a probe that was calibrated 500 m up (worked by hand
// from the two-point form of a straight line).
func TestTheLineGoesThroughBothPoints(t *testing.T) {
	l, err := calibrate.Fit(point(0.31, 0), point(99.19, 98.31))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "gain", l.Gain, 0.994235, 1e-6)
	near(t, "offset", l.Offset, -0.3082, 5e-5)
	near(t, "60.00 corrected", l.Celsius(60), 59.346, 5e-4)
	near(t, "the ice point", l.Celsius(0.31), 0, 1e-12)
	near(t, "the boiling point", l.Celsius(99.19), 98.31, 1e-12)
}

// The uncalibrated DS18B20 by JCGM 100:2008 4.3.7: the limits of the data sheet as
// rectangles, with the resolution of a sixteenth of a kelvin.
func TestWorkedUncertainties(t *testing.T) {
	near(t, "±0.5 °C", calibrate.Rectangular(0.5), 0.28868, 1e-5)
	near(t, "±1 °C", calibrate.Rectangular(1), 0.57735, 1e-5)
	near(t, "±2 °C", calibrate.Rectangular(2), 1.15470, 1e-5)
	near(t, "a sixteenth", calibrate.Resolution(1.0/16), 0.018042, 1e-6)
	cool := calibrate.Combined(calibrate.Rectangular(0.5), calibrate.Resolution(calibrate.Step))
	near(t, "combined below 85 °C", cool, 0.28924, 1e-5)
	near(t, "expanded below 85 °C", calibrate.Expanded(cool), 0.578, 5e-4)
	hot := calibrate.Combined(calibrate.Rectangular(1), calibrate.Resolution(calibrate.Step))
	near(t, "expanded above 85 °C", calibrate.Expanded(hot), 1.155, 5e-4)
}

// It does not matter which point was taken first, to the last bit.
func TestTheOrderOfThePointsIsIrrelevant(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawn(t, "ice", 0), drawn(t, "boil", rapid.Float64Range(85, 100.5).Draw(t, "boils at"))
		one, err := calibrate.Fit(a, b)
		if err != nil {
			t.Fatal(err)
		}
		other, err := calibrate.Fit(b, a)
		if err != nil {
			t.Fatal(err)
		}
		if one != other {
			t.Fatalf("%+v and %+v", one, other)
		}
	})
}

// A corrected reading at a point is not known better than the point itself, whatever
// the points are.
func TestAtAPointTheUncertaintyIsNotBelowItsOwn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawn(t, "ice", 0), drawn(t, "boil", rapid.Float64Range(85, 100.5).Draw(t, "boils at"))
		l, err := calibrate.Fit(a, b)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range []calibrate.Point{a, b} {
			if u, own := l.Expanded(p.Reads), calibrate.Expanded(p.Own()); u < own {
				t.Fatalf("U at %.2f is %.4f, below the %.4f of the point", p.Reads, u, own)
			}
		}
		if most := l.Most(); most < l.Expanded(a.Reads) || most < l.Expanded(b.Reads) || most < l.Expanded((a.Reads+b.Reads)/2) {
			t.Fatalf("the largest U is given as %.4f and is larger", most)
		}
	})
}

// Beyond the boil nothing holds the line any more, so it is known less well.
func TestTheUncertaintyGrowsBeyondThePoints(t *testing.T) {
	l, err := calibrate.Fit(point(0.1, 0), point(99.9, 100))
	if err != nil {
		t.Fatal(err)
	}
	if at, beyond := l.Expanded(99.9), l.Expanded(150); beyond <= at {
		t.Errorf("U is %.3f at the boil and %.3f at 150 °C", at, beyond)
	}
}

func drawn(t *rapid.T, name string, truth float64) calibrate.Point {
	return calibrate.Point{
		Reads:  truth + rapid.Float64Range(-1.9, 1.9).Draw(t, name+" is off"),
		ReadsU: rapid.Float64Range(0, 0.05).Draw(t, name+" reads within"),
		Truth:  calibrate.Truth{C: truth, U: rapid.Float64Range(0, 0.5).Draw(t, name+" is known within")},
	}
}

// A probe that is further off than the chip's data sheet allows is not corrected but
// thrown away.
func TestABadProbeIsNotCorrected(t *testing.T) {
	for _, p := range [][2]calibrate.Point{
		{point(2.1, 0), point(100, 100)},
		{point(0, 0), point(97.9, 100)},
		{point(math.NaN(), 0), point(100, 100)},
	} {
		if _, err := calibrate.Fit(p[0], p[1]); !errors.Is(err, calibrate.ErrBad) {
			t.Errorf("Fit(%.1f, %.1f): %v, want ErrBad", p[0].Reads, p[1].Reads, err)
		}
	}
	if _, err := calibrate.Fit(point(60, 60), point(99, 99)); err == nil || errors.Is(err, calibrate.ErrBad) {
		t.Errorf("two points 39 K apart: %v, want an error about that", err)
	}
}
