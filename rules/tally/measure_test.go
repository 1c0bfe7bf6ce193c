package tally_test

import (
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/tally"
)

func measure(t *testing.T, f tally.Figures, name string) tally.Measure {
	t.Helper()
	for _, m := range f.Measures() {
		if m.Name == name {
			return m
		}
	}
	t.Fatalf("nothing is called %q", name)
	return tally.Measure{}
}

// A month with six calls an hour is about 144 a day, within the "about 150" of
// the standards; twelve an hour is the most that can be managed (ISA-18.2 and
// EEMUA 191, from memory).
func TestRatesAreGraded(t *testing.T) {
	for _, c := range []struct {
		each   time.Duration
		perDay float64
		grade  tally.Grade
	}{
		{10 * m, 144, tally.Acceptable}, {9 * m, 160, tally.Manageable}, {5 * m, 288, tally.Manageable}, {4 * m, 360, tally.Over},
	} {
		month := 30 * 24 * h
		f := tally.Of(calls("north", rules.TopUpDue, every(c.each, int(month/c.each))...), watch(month))
		day, hour := measure(t, f, "calls a day"), measure(t, f, "calls an hour")
		if day.Value != c.perDay || day.Grade != c.grade {
			t.Errorf("one every %s: %v a day, %s; want %v, %s", c.each, day.Value, day.Grade, c.perDay, c.grade)
		}
		if hour.Value*24 != day.Value || hour.Grade != c.grade {
			t.Errorf("one every %s: %v an hour, %s", c.each, hour.Value, hour.Grade)
		}
	}
}

// "Under 1 %" and "under 5" do not take in the number itself.
func TestATargetIsKeptOrNot(t *testing.T) {
	f := tally.Figures{Watched: 100 * h, Days: 30, InFlood: h, StaleMost: 5, MostInShort: 10}
	for name, want := range map[string]tally.Grade{
		"time in a flood": tally.Over, "stale on the worst day": tally.Over,
		"most in any 10 min": tally.Acceptable, "fleeting calls": tally.Acceptable, "standing at the end": tally.Ungraded,
	} {
		if got := measure(t, f, name); got.Grade != want {
			t.Errorf("%s: %v is %q, want %q", name, got.Value, got.Grade, want)
		}
	}
	f.InFlood, f.StaleMost, f.MostInShort, f.Fleeting = h-1, 4, 11, 1
	for name, want := range map[string]tally.Grade{
		"time in a flood": tally.Acceptable, "stale on the worst day": tally.Acceptable,
		"most in any 10 min": tally.Over, "fleeting calls": tally.Over,
	} {
		if got := measure(t, f, name); got.Grade != want {
			t.Errorf("%s: %v is %q, want %q", name, got.Value, got.Grade, want)
		}
	}
}

// The standard asks for thirty days of data (ISA-18.2); with less nothing is
// graded, and the numbers are there all the same.
func TestTooLittleDataIsNotGraded(t *testing.T) {
	f := tally.Of(calls("north", rules.TopUpDue, every(4*m, 1000)...), watch(29*24*h))
	if f.Enough() {
		t.Error("29 days are enough")
	}
	for _, m := range f.Measures() {
		if m.Grade != tally.Ungraded {
			t.Errorf("%s is graded %s", m.Name, m.Grade)
		}
	}
	if got := measure(t, f, "calls a day"); got.Value < 34 || got.Value > 35 { // 1000 in 29 days
		t.Errorf("%v calls a day", got.Value)
	}
	// A day counts if anything of it was watched.
	var some tally.Watch
	for day := range time.Duration(30) {
		some.Watched = append(some.Watched, tally.Span{From: day * 24 * h, To: day*24*h + 4*h})
	}
	if f := tally.Of(nil, some); !f.Enough() || f.Watched != 120*h {
		t.Errorf("4 h on each of 30 days are %d days, %s", f.Days, f.Watched)
	}
}

// Of nothing there is no rate, no share and no time.
func TestNothingWatchedIsNoNumber(t *testing.T) {
	f := tally.Of(calls("north", rules.TopUpDue, h), tally.Watch{})
	for _, name := range []string{"calls a day", "calls an hour with a lit bath", "time in a flood", "priority low", "share of the top ten", "answered within, half of them"} {
		if m := measure(t, f, name); !m.None {
			t.Errorf("%s is %v of nothing", name, m.Value)
		}
	}
	if f.Count != 0 || f.Days != 0 {
		t.Errorf("%d calls in %d days were counted", f.Count, f.Days)
	}
}

// The shares of the priorities stand beside 80, 15, 5 and under 1 % (ISA-18.2
// for four levels, from memory).
func TestPrioritiesAreShares(t *testing.T) {
	f := tally.Of(append(calls("north", rules.TopUpDue, h, 2*h, 3*h), calls("north", rules.WarmBottling, 4*h)...), watch(5*h))
	for p, want := range map[alarm.Priority]float64{alarm.Low: 25, alarm.Medium: 75, alarm.High: 0, alarm.Critical: 0} {
		if m := measure(t, f, "priority "+p.String()); m.Value != want || m.Target == "" {
			t.Errorf("%s: %v %% beside %q, want %v %%", p, m.Value, m.Target, want)
		}
	}
}
