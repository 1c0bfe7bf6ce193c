package amount_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"bainward/rules"
	"bainward/rules/batch/amount"
)

// A sum of independent figures has the root of the sum of squares as its
// spread: 3 and 4 make 5 (JCGM 100:2008, 5.1.2).
func TestASumSpreadsInSquares(t *testing.T) {
	got := amount.Propagate(func(x []float64) float64 { return x[0] + x[1] },
		amount.Between(7, 10, 13), amount.Between(16, 20, 24))
	if want := amount.Between(25, 30, 35); got != want {
		t.Errorf("got %v, want %v", got, want)
	}
}

// A probe's band of ±0.5 °C and its steps of 1/16 °C together: 0.28868 and
// 0.01804 make 0.28924 °C (JCGM 100:2008, 4.3.7: a/√3 of a rectangle).
func TestAProbesBandAndStepsAddInSquares(t *testing.T) {
	band, step := 0.5/math.Sqrt(3), 0.0625/math.Sqrt(12)
	got := amount.Propagate(func(x []float64) float64 { return x[0] + x[1] },
		amount.Between(-band, 0, band), amount.Between(-step, 0, step))
	if math.Abs(got.P90-0.28924) > 1e-5 || got.P10 != -got.P90 {
		t.Errorf("got %v", got)
	}
}

// A figure that falls as its input rises turns the ends around.
func TestAFallingFormulaTurnsTheEndsAround(t *testing.T) {
	got := amount.Propagate(func(x []float64) float64 { return 1 / x[0] }, amount.Between(2, 4, 5))
	if want := amount.Between(0.2, 0.25, 0.5); math.Abs(got.P10-want.P10)+math.Abs(got.P90-want.P90) > 1e-15 {
		t.Errorf("got %v, want %v", got, want)
	}
}

// What cannot be said at the middle is unknown; what cannot be said at an end
// leaves the range open above.
func TestWhatCannotBeSaidIsNotInvented(t *testing.T) {
	root := func(x []float64) float64 { return math.Sqrt(x[0]) }
	if got := amount.Propagate(root, amount.Between(-2, -1, 4)); got.Known() {
		t.Errorf("the root of about -1 is %v", got)
	}
	if got := amount.Propagate(root, amount.Between(-1, 1, 4)); !math.IsInf(got.P90, 1) {
		t.Errorf("the root of -1 to 4 ends at %v", got.P90)
	}
}

// The middle of a range lies between its ends, whatever the formula.
func TestEndsEmbraceTheMiddle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(-10, 10).Draw(t, "a")
		x := amount.Between(a-rapid.Float64Range(0, 5).Draw(t, "down"), a, a+rapid.Float64Range(0, 5).Draw(t, "up"))
		got := amount.Propagate(func(x []float64) float64 { return float64(x[0]*x[0]*x[1]) - x[0] }, x, amount.Exactly(2))
		if !(got.P10 <= got.P50 && got.P50 <= got.P90) {
			t.Errorf("of %v: %v", x, got)
		}
	})
}

// There is no oil below nothing.
func TestNothingIsTheLeast(t *testing.T) {
	if got := amount.NotBelowZero(amount.Between(-1, 0.5, 2)); got != amount.Between(0, 0.5, 2) {
		t.Errorf("got %v", got)
	}
	if amount.NotBelowZero(amount.Unknown).Known() {
		t.Error("what is unknown became known")
	}
}

// Scales and jugs on both sides of the water (factors: NIST Handbook 44,
// appendix C).
func TestAmountsReadAsOnAScale(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{amount.Mass(rules.Metric, 0.22), "220 g"},
		{amount.Mass(rules.Metric, 0.9996), "1.00 kg"},
		{amount.Mass(rules.Metric, 1.452), "1.45 kg"},
		{amount.Mass(rules.US, 0.22), "7.8 oz"},
		{amount.Mass(rules.US, 1.45), "3 lb 3.1 oz"},
		{amount.Mass(rules.US, 16*amount.KgPerOunce-1e-6), "1 lb 0.0 oz"},
		{amount.Mass(rules.Metric, math.NaN()), "an unknown weight"},
		{amount.Volume(rules.Metric, 0.478), "480 ml"},
		{amount.Volume(rules.US, 0.473176), "16 fl oz"},
		{amount.Length(rules.Metric, 22), "22 mm"},
		{amount.Length(rules.US, 25.4), "1.0 in"},
		{amount.Clock(5400), "1 h 30 min"},
		{amount.Say(amount.Between(0.2, 0.22, 0.26), func(x float64) string { return amount.Mass(rules.Metric, x) }), "220 g (200 g to 260 g)"},
		{amount.Say(amount.Exactly(60), amount.Clock), "60 s"},
		{amount.Say(amount.Between(60, 600, math.Inf(1)), amount.Clock), "10 min (60 s or more)"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}
