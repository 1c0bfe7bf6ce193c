package dashboards

import (
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/balance"
	"bainward/rules/fold"
)

// halfPastTen is a simmering bath whose newest reading is of half past ten, UTC.
func halfPastTen() fold.Snapshot {
	s := holding()
	s.Wall = time.Date(2026, 3, 1, 10, 30, 0, 0, time.UTC)
	s.ToHeldS = balance.Range{P10: 4080, P50: 4080, P90: 4488}
	s.Estimate.HeatW = balance.Range{P10: 380, P50: 455, P90: 545}
	s.Estimate.DishWPerK = balance.Range{P10: 4.5, P50: 5.4, P90: 6.3}
	s.Estimate.BareSoon = 0.12
	return s
}

// stamps writes a line with its instants in UTC.
func stamps(l Line) string {
	var b strings.Builder
	for _, p := range l {
		b.WriteString(p.Text)
		if !p.At.IsZero() {
			b.WriteString(p.At.UTC().Format("15:04:05"))
		}
	}
	return b.String()
}

func figure(t *testing.T, all []Figure, key string) Figure {
	t.Helper()
	for _, f := range all {
		if f.Key == key {
			return f
		}
	}
	t.Fatalf("no figure %s among %v", key, all)
	return Figure{}
}

// 68 min after 10:30 it is 11:38; a range adds its own minutes.
func TestWhatComesIsToldInClockTimes(t *testing.T) {
	s := halfPastTen()
	for key, want := range map[string][2]string{
		"floor": {"reached", ""},
		"held":  {"about 11:38:00", "11:38:00 to 11:44:48, in 1 h 08 min"},
		"bare":  {"about 10:51:40", "10:45:00 to 11:05:00, in 22 min"},
	} {
		f := figure(t, Ahead(s), key)
		if got := [2]string{stamps(f.Likely), stamps(f.Note)}; got != want {
			t.Errorf("%s reads %q, want %q", key, got, want)
		}
	}
	if f := figure(t, Reckoned(s), "held"); stamps(f.Likely) != "11:38:00" || stamps(f.Low) != "11:38:00" || stamps(f.High) != "11:44:48" {
		t.Errorf("the hold goes from %q to %q", stamps(f.Low), stamps(f.High))
	}
}

// A range may begin now, or end beyond the day that the rules look ahead.
func TestRangesWithoutAnEndAreSaidInWords(t *testing.T) {
	const day = 86400
	for _, c := range []struct {
		r            balance.Range
		likely, note string
	}{
		{balance.Unknown, "not known yet", ""},
		{balance.Range{}, "so now", ""},
		{balance.Range{P10: day, P50: day, P90: day}, "not in sight", ""},
		{balance.Range{P50: 600, P90: 1200}, "about 10:40:00", "perhaps now, at the latest 10:50:00, in 10 min"},
		{balance.Range{P10: 300, P50: 600, P90: day}, "about 10:40:00", "10:35:00 at the earliest, in 10 min"},
		{balance.Range{P50: 600, P90: day}, "about 10:40:00", "perhaps now, in 10 min"},
		{balance.Range{P10: nan, P50: 600, P90: nan}, "about 10:40:00", "in 10 min"},
		{balance.Range{P10: 601, P50: 610, P90: 619}, "about 10:40:10", "in 10 min"},
	} {
		f := foreseen(halfPastTen(), c.r, "so now")
		if stamps(f.Likely) != c.likely || stamps(f.Note) != c.note {
			t.Errorf("%v reads %q, %q; want %q, %q", c.r, stamps(f.Likely), stamps(f.Note), c.likely, c.note)
		}
	}
	if f := foreseen(fold.Snapshot{}, balance.Range{P10: 1, P50: 2, P90: 3}, ""); f.Likely.String() != notKnown {
		t.Errorf("without a time of day it comes at %q", f.Likely)
	}
}

// What the hold lacks once the dish is out stays lacking, and no time is given
// for what cannot come any more.
func TestNothingComesOnTheBoard(t *testing.T) {
	s := halfPastTen()
	s.Phase = rules.Straining
	for key, want := range map[string]string{"floor": "", "held": "1 h 08 min short", "bare": ""} {
		if f := figure(t, Ahead(s), key); f.Likely.String() != want || f.Note != nil {
			t.Errorf("%s reads %q, %q; want %q", key, f.Likely, f.Note, want)
		}
	}
	v, err := ViewOf(s, nil)
	if err != nil || v.Reckons() || len(v.Reckoned) != 10 {
		t.Errorf("%d figures are reckoned: %v, error %v; want ten empty ones", len(v.Reckoned), v.Reckons(), err)
	}
	if !strings.Contains(v.Words.AheadNote, "out of the bath") {
		t.Errorf("nothing says why: %q", v.Words.AheadNote)
	}
}

// Before the heat is on nothing comes by itself.
func TestNothingComesWithoutHeat(t *testing.T) {
	s := halfPastTen()
	s.Phase, s.Hold = rules.Idle, 0
	for _, f := range Ahead(s) {
		if f.Likely != nil {
			t.Errorf("%s reads %q", f.Name, f.Likely)
		}
	}
	if Describe(s).AheadNote == "" {
		t.Error("nothing says why")
	}
}

// A bath too weak to bring the oil to its floor holds nothing either.
func TestAFloorOutOfSightLeavesTheHoldOutOfSight(t *testing.T) {
	s := halfPastTen()
	s.ToFloorS, s.ToHeldS = balance.Range{P10: 86400, P50: 86400, P90: 86400}, balance.Unknown
	if f := figure(t, Ahead(s), "held"); f.Likely.String() != "not in sight" {
		t.Errorf("the hold reads %q", f.Likely)
	}
	s.Hold = s.HoldAsked
	if f := figure(t, Ahead(s), "held"); f.Likely.String() != "done" {
		t.Errorf("a hold that is done reads %q", f.Likely)
	}
}

// 5.4 W/K is 3.0 W for each degree Fahrenheit, 9/5 to the kelvin (NIST SP 811).
func TestFiguresComeInTheUnitsOfTheSite(t *testing.T) {
	s := halfPastTen()
	if f := figure(t, Reckoned(s), "dish"); f.Likely.String() != "5.4 W/K" || f.Low.String() != "4.5 W/K" || f.High.String() != "6.3 W/K" {
		t.Errorf("%q, %q, %q", f.Likely, f.Low, f.High)
	}
	s.Units = rules.US
	if f := figure(t, Reckoned(s), "dish"); f.Likely.String() != "3.0 W/°F" {
		t.Errorf("%q", f.Likely)
	}
	if f := figure(t, Reckoned(s), "water"); f.Likely.String() != "55 fl oz" { // 1.63 kg; NIST: 29.57353 ml
		t.Errorf("%q", f.Likely)
	}
	if f := figure(t, Reckoned(s), "heat"); f.High.String() != "545 W" {
		t.Errorf("%q", f.High)
	}
	if f := figure(t, Reckoned(s), "bare_soon"); f.Likely.String() != "12 %" {
		t.Errorf("%q", f.Likely)
	}
}

// The herb is called dry only where its water is reckoned at all.
func TestTheHerbIsSaidToBeDry(t *testing.T) {
	s := halfPastTen()
	s.Estimate.HerbGone = true
	if f := figure(t, Reckoned(s), "herb_water"); f.Note != nil || f.Likely.String() != notKnown {
		t.Errorf("of a herb that nobody knows of: %q, %q", f.Likely, f.Note)
	}
	s.Estimate.HerbWaterKg = balance.Range{P10: 0, P50: 0.01, P90: 0.03}
	if f := figure(t, Reckoned(s), "herb_water"); f.Note.String() != "The herb has given up its water." {
		t.Errorf("%q", f.Note)
	}
}

func TestTheQuestionNamesWhatWasSeen(t *testing.T) {
	s := halfPastTen()
	if got := Describe(s).Asked; got != "" {
		t.Errorf("asks %q where nothing was seen", got)
	}
	s.Asks, s.AskedKg = true, 0.4
	if got := Describe(s).Asked; got != "Water was seen going in, about 400 ml. Nobody entered it. How much was it?" {
		t.Errorf("asks %q", got)
	}
	v, err := ViewOf(s, nil)
	if err != nil || v.Asked.Event != "top-up" || v.Asked.Optional() {
		t.Errorf("the answer is the event %q, its amount may stay empty: %v, error %v", v.Asked.Event, v.Asked.Optional(), err)
	}
}
