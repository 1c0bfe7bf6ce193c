package shelf_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"bainward/rules/batch/shelf"
)

// The worked examples of USP's formula (see TestMeanKineticTemperatureFollowsUSP)
// come out of sums just as well, and so does a part of them that is taken away again.
func TestSumsGiveTheSameMeanKineticTemperature(t *testing.T) {
	for _, c := range []struct {
		celsius []float64
		want    float64
	}{
		{[]float64{20, 30}, 26.260},
		{[]float64{4, 4, 4, 4, 16}, 8.109},
		{[]float64{2, 8}, 5.536},
		{[]float64{20, 22, 24, 26, 28, 30}, 25.607},
		{[]float64{15, 40}, 33.919},
	} {
		var sum, years shelf.Kinetic
		for range 100_000 {
			years = years.With(25, 1)
		}
		for _, celsius := range c.celsius {
			sum = sum.With(celsius, 1)
		}
		if got := sum.Celsius(); !(math.Abs(got-c.want) <= 0.001) {
			t.Errorf("%v: %v, want %v", c.celsius, got, c.want)
		}
		if got := years.And(sum).Less(years).Celsius(); !(math.Abs(got-c.want) <= 0.001) {
			t.Errorf("%v behind eleven years of hours: %v, want %v", c.celsius, got, c.want)
		}
	}
}

// However temperatures are cut into spans, the spans' own mean kinetic temperatures
// by their weights give that of the whole.
func TestSpansPutTogetherAreTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cs := rapid.SliceOfN(rapid.Float64Range(-20, 60), 2, 40).Draw(t, "celsius")
		cut := rapid.IntRange(1, len(cs)-1).Draw(t, "cut")
		var spans shelf.Kinetic
		for _, part := range [][]float64{cs[:cut], cs[cut:]} {
			spans = spans.With(shelf.MeanKinetic(part), float64(len(part)))
		}
		if got, want := spans.Celsius(), shelf.MeanKinetic(cs); math.Abs(got-want) > 1e-9 {
			t.Errorf("cut at %d: %v, want %v", cut, got, want)
		}
	})
}

// What was not measured adds nothing, and nothing has no temperature.
func TestNothingAddsNothing(t *testing.T) {
	k := shelf.Kinetic{}.With(math.NaN(), 1).With(20, 0).With(20, -1).With(-300, 1).With(math.Inf(1), 1)
	if k != (shelf.Kinetic{}) || !math.IsNaN(k.Celsius()) {
		t.Errorf("%+v, %v °C", k, k.Celsius())
	}
}

// A refrigerator that stood at 20 °C for a week ages its oil like one that stood at
// its 5 °C for 2^1.5 weeks (twice as fast at 10 °C more, from memory); a cold one
// gives nothing back.
func TestAWarmWeekBringsTheNextSmellingSooner(t *testing.T) {
	for _, c := range []struct {
		place   shelf.Storage
		celsius float64
		want    float64
	}{
		{shelf.Fridge, 20, 7 * (math.Pow(2, 1.5) - 1)}, {shelf.Cool, 25, 7}, {shelf.Room, 25, 0}, {shelf.Fridge, 2, 0}, {shelf.Cool, math.NaN(), 0},
	} {
		if got := c.place.Sooner(c.celsius, 7); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("a week %s at %v °C: %v days, want %v", c.place, c.celsius, got, c.want)
		}
	}
}
