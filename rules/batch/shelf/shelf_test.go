package shelf_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bainward/rules/batch/shelf"
)

// The mean kinetic temperatures that USP's formula gives with ΔH/R = 10 000 K
// (USP29 <1160>; worked out apart from this code).
func TestMeanKineticTemperatureFollowsUSP(t *testing.T) {
	for _, c := range []struct {
		celsius []float64
		want    float64
	}{
		{[]float64{25, 25, 25, 25, 25, 25, 25, 25, 25, 25, 25, 25}, 25},
		{[]float64{20, 30}, 26.260},
		{[]float64{4, 4, 4, 4, 16}, 8.109},
		{[]float64{2, 8}, 5.536},
		{[]float64{20, 20, 25, 30}, 24.701},
		{[]float64{20, 22, 24, 26, 28, 30}, 25.607},
		{[]float64{15, 40}, 33.919},
	} {
		if got := shelf.MeanKinetic(c.celsius); !(math.Abs(got-c.want) <= 0.001) {
			t.Errorf("%v: %v, want %v", c.celsius, got, c.want)
		}
	}
}

// Twenty hours at 4 °C and five at 16 °C are the same as four readings and one.
func TestLongerCountsForMore(t *testing.T) {
	got := shelf.MeanKineticOver([]float64{4, 16}, []float64{20, 5})
	if want := shelf.MeanKinetic([]float64{4, 4, 4, 4, 16}); math.Abs(got-want) > 1e-9 {
		t.Errorf("%v, want %v", got, want)
	}
}

// What was not read is not made up.
func TestNoMeanOfNothing(t *testing.T) {
	for _, got := range []float64{
		shelf.MeanKinetic(nil), shelf.MeanKinetic([]float64{20, math.NaN()}), shelf.MeanKinetic([]float64{-300}),
		shelf.MeanKineticOver([]float64{1, 2}, []float64{1}), shelf.MeanKineticOver([]float64{1}, []float64{-1}), shelf.MeanKineticOver([]float64{1}, []float64{0}),
	} {
		if !math.IsNaN(got) {
			t.Errorf("got %v, want NaN", got)
		}
	}
}

// The mean kinetic temperature lies between the plain mean and the warmest.
func TestMeanKineticIsAboveThePlainMean(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cs := rapid.SliceOfN(rapid.Float64Range(-20, 60), 1, 30).Draw(t, "celsius")
		sum, warmest := 0.0, cs[0]
		for _, c := range cs {
			sum, warmest = sum+c, max(warmest, c)
		}
		if got := shelf.MeanKinetic(cs); got < sum/float64(len(cs))-1e-9 || got > warmest+1e-9 {
			t.Errorf("%v of %v", got, cs)
		}
	})
}

// About two years cold and dark (common practice, no source), half of it at
// 10 °C more, and no longer in the cold.
func TestOilKeepsTwoYearsColdAndDark(t *testing.T) {
	for c, want := range map[float64]int{15: 24, 5: 24, -10: 24, 25: 12, 35: 6, math.NaN(): 12, 100: 0} {
		if got := shelf.Months(c); got != want {
			t.Errorf("at %v °C: %d months, want %d", c, got, want)
		}
	}
}

func drawnDay(t *rapid.T, what string) time.Time {
	return shelf.Day(rapid.IntRange(2000, 2100).Draw(t, what+" year"), time.Month(rapid.IntRange(1, 12).Draw(t, what+" month")), rapid.IntRange(1, 31).Draw(t, what+" day"))
}

// No date is later than the base oil's own, however long the store is good for.
func TestNoDateIsLaterThanTheOils(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := shelf.Bottles{
			Made: drawnDay(t, "made"), OilBest: drawnDay(t, "best"), Fresh: rapid.Bool().Draw(t, "fresh"),
			Storage: shelf.Storage(rapid.IntRange(0, 3).Draw(t, "storage")), Water: shelf.Water(rapid.IntRange(0, 3).Draw(t, "water")),
			TestedMonths: rapid.IntRange(-5, 100).Draw(t, "tested"),
		}
		if rapid.Bool().Draw(t, "measured") {
			b.Measured, b.MeasuredC = true, rapid.Float64Range(-30, 60).Draw(t, "mean")
		}
		d := shelf.UseBy(b)
		if d.By.After(b.OilBest) || d.Source == "" {
			t.Errorf("%v is later than %v (source %q)", d.By, b.OilBest, d.Source)
		}
		m := shelf.MarkFor(b.Made, d.By, 0)
		if m.BestBefore == d.By.After(shelf.AddMonths(b.Made, 30)) {
			t.Errorf("made %v, good until %v: best before is %v", b.Made, d.By, m.BestBefore)
		}
	})
}

// The date is the earlier one, with its reason.
func TestTheEarlierDateCounts(t *testing.T) {
	made := shelf.Day(2026, time.March, 1)
	for _, c := range []struct {
		b      shelf.Bottles
		want   time.Time
		reason shelf.Reason
	}{
		{shelf.Bottles{Made: made, OilBest: shelf.Day(2030, 1, 1)}, shelf.Day(2028, 3, 1), shelf.ByStorage},
		{shelf.Bottles{Made: made, OilBest: shelf.Day(2027, 6, 30)}, shelf.Day(2027, 6, 30), shelf.ByOil},
		{shelf.Bottles{Made: made, Storage: shelf.Room}, shelf.Day(2027, 3, 1), shelf.ByStorage},
		{shelf.Bottles{Made: made, Fresh: true, Water: shelf.WaterLeft, TestedMonths: 40}, shelf.Day(2026, 3, 5), shelf.ByWater},
		{shelf.Bottles{Made: made, TestedMonths: 36, OilBest: shelf.Day(2030, 1, 1)}, shelf.Day(2029, 3, 1), shelf.ByTest},
		{shelf.Bottles{OilBest: made}, time.Time{}, shelf.NoDate},
	} {
		if got := shelf.UseBy(c.b); !got.By.Equal(c.want) || got.Reason != c.reason {
			t.Errorf("%+v: %v, reason %d; want %v, %d", c.b, got.By, got.Reason, c.want, c.reason)
		}
	}
}

// What is not known is said beside the date.
func TestWhatIsNotKnownIsSaid(t *testing.T) {
	made := shelf.Day(2026, time.March, 1)
	for want, b := range map[string]shelf.Bottles{
		"own date is not known": {Made: made},
		"no water is left":      {Made: made, Fresh: true},
		"past its date":         {Made: made, OilBest: made.AddDate(0, 0, -1)},
		"botulinum":             {Made: made, Water: shelf.WaterLeft},
		"smells rancid":         {Made: made, OilBest: made},
		"when this oil was":     {},
	} {
		if text := strings.Join(shelf.UseBy(b).Notes, " "); !strings.Contains(text, want) {
			t.Errorf("%q is not in %q", want, text)
		}
	}
}

// Up to 30 months a label bears a date, beyond them the period after opening
// (Regulation (EC) No 1223/2009, Article 19(1)(c)).
func TestThirtyMonthsPartDateAndPeriod(t *testing.T) {
	made := shelf.Day(2026, time.January, 31)
	at30, over := shelf.Day(2028, time.July, 31), shelf.Day(2028, time.August, 1)
	if m := shelf.MarkFor(made, at30, 0); !m.BestBefore || m.Text != "Best used before the end of: 31 July 2028" {
		t.Errorf("%+v", m)
	}
	if m := shelf.MarkFor(made, over, 12); m.BestBefore || m.Text != "12M" {
		t.Errorf("%+v", m)
	}
	if m := shelf.MarkFor(time.Time{}, over, 0); !strings.Contains(m.Text, "No date") {
		t.Errorf("%+v", m)
	}
}

// A month after the last of January is the last of February; ten years after a
// batch its file may go (Regulation 1223/2009, Article 11: 2026-11-25 to 2036-11-25).
func TestMonthsAreCalendarMonths(t *testing.T) {
	for _, c := range []struct {
		from, want time.Time
		n          int
	}{
		{shelf.Day(2026, 1, 31), shelf.Day(2026, 2, 28), 1},
		{shelf.Day(2028, 1, 31), shelf.Day(2028, 2, 29), 1},
		{shelf.Day(2026, 11, 25), shelf.Day(2036, 11, 25), 120},
		{shelf.Day(2026, 11, 30), shelf.Day(2027, 2, 28), 3},
		{shelf.Day(2026, 3, 31), shelf.Day(2026, 2, 28), -1},
	} {
		if got := shelf.AddMonths(c.from, c.n); !got.Equal(c.want) {
			t.Errorf("%v and %d months: %v, want %v", c.from, c.n, got, c.want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		from, n := drawnDay(t, "from"), rapid.IntRange(0, 500).Draw(t, "months")
		got := shelf.AddMonths(from, n)
		if months := (got.Year()-from.Year())*12 + int(got.Month()-from.Month()); months != n || got.Day() > from.Day() {
			t.Errorf("%v and %d months: %v", from, n, got)
		}
	})
}
