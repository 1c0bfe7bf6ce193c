package ledger

import (
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bainward/rules"
	"bainward/rules/batch/shelf"
)

// hour is an hour of a refrigerator that was measured all the time.
func hour(from time.Time, celsius float64) Stored {
	return Stored{Place: Fridge, From: from, To: from.Add(time.Hour), Measured: time.Hour, KineticC: celsius, MinC: celsius - 1, MaxC: celsius + 1, WarmC: 8}
}

func (y *yard) stored(all ...Stored) {
	y.t.Helper()
	for _, s := range all {
		if err := y.l.Store(s); err != nil {
			y.t.Fatal(err)
		}
	}
}

// inFridge has one bottle stand in the refrigerator since an instant.
func inFridge(t *testing.T) (y *yard, since time.Time) {
	y = newYard(t)
	y.did(Opened{Batch: "b1", Bath: "north"}, herb("b1", "A", "220 g"), oil("b1", "S-17", "800 ml", "2029-12-31"))
	since = y.now
	y.did(filled("b1", "100 ml", Fridge, 1))
	return y, since
}

// Of ten hours eight were measured: four each at 2 and at 8 °C, which are 5.536 °C
// (USP29 <1160>). What was before the bottle came is not its own.
func TestABottleKnowsHowWarmItStood(t *testing.T) {
	y, since := inFridge(t)
	y.stored(hour(since.Add(-time.Hour), 30))
	for i := range 10 {
		s := hour(since.Add(time.Duration(i)*time.Hour), float64(2+6*(i%2)))
		if i >= 8 {
			s.Measured, s.KineticC, s.MinC, s.MaxC = 0, 0, 0, 0
		}
		y.stored(s)
	}
	k := y.bottle("b1/1").Kept()
	if k == nil || math.Abs(k.KineticC-5.536) > 0.001 || k.Measured != 0.8 || k.MaxC != 9 || !k.Until.Equal(since.Add(10*time.Hour)) {
		t.Fatalf("it says %+v", k)
	}
	if got, want := k.Words(rules.Metric), "measured 80 % of the time: mean kinetic temperature 5.5 °C, warmest 9.0 °C"; got != want {
		t.Errorf("in words: %q, want %q", got, want)
	}
	if got, want := k.Words(rules.US), "measured 80 % of the time: mean kinetic temperature 42.0 °F, warmest 48.2 °F"; got != want {
		t.Errorf("in words: %q, want %q", got, want)
	}
}

// Where nobody measures, nothing is said.
func TestWhereNobodyMeasuresNothingIsSaid(t *testing.T) {
	y, since := inFridge(t)
	s := hour(since, 4)
	s.Place = Room
	y.stored(s)
	if o := y.bottle("b1/1"); o.Kept() != nil || o.Sooner != 0 || o.SoonerWords() != "" {
		t.Errorf("it says %+v", o)
	}
}

// A refrigerator that stood at 20 °C for a week brings the next smelling
// 7 · (2^1.5 - 1) = 12 days forward (twice as fast at 10 °C more, from memory), and
// no date: a label is printed, and nothing is given back either.
func TestAWarmWeekHintsToSmellSooner(t *testing.T) {
	y, since := inFridge(t)
	before := y.bottle("b1/1")
	for i := range 24 * 30 {
		celsius := 4.0
		if i >= 24*20 && i < 24*27 {
			celsius = 20
		}
		y.stored(hour(since.Add(time.Duration(i)*time.Hour), celsius))
	}
	o := y.bottle("b1/1")
	if o.Sooner != 12 || o.UseBy != before.UseBy || !o.CheckDue.Time().Equal(before.CheckDue.Time().AddDate(0, 0, -12)) {
		t.Errorf("%d days sooner, on %s (was %s), good until %s (was %s)", o.Sooner, o.CheckDue, before.CheckDue, o.UseBy, before.UseBy)
	}
	due := y.l.Due(o.CheckDue)
	if len(due) != 1 || !strings.Contains(due[0].Why, "it stood warmer than it should") || y.l.Waiting(o.CheckDue) != 1 {
		t.Errorf("on that day it is due: %+v", due)
	}
	y.now = since.Add(24 * 30 * time.Hour)
	y.did(Smelled{Batch: "b1", Numbers: []int{1}, Smell: Fine})
	if o := y.bottle("b1/1"); o.Sooner != 0 {
		t.Errorf("somebody smelled at it since, and it is still to be smelled at %s", o.SoonerWords())
	}
}

// A day above its limit makes a place one to see to; a door that stood open does not,
// nor does a place that has no probe any more.
func TestAWarmPlaceIsToldCalmly(t *testing.T) {
	for what, c := range map[string]struct {
		warm  int // of the last 24 hours
		want  string
		blind bool
		later time.Duration
	}{
		"cold all day":           {0, "", false, 0},
		"an hour at 12 °C":       {1, "", false, 0},
		"all day at 12 °C":       {24, "the refrigerator was too warm over the last day, 12.0 °C, and should be under 8.0 °C: look at its door and its setting", false, 0},
		"nothing read all day":   {0, "the refrigerator was not measured over the last day: look at its probe, plug and cable", true, 0},
		"taken out two days ago": {24, "", false, 48 * time.Hour},
	} {
		var l Ledger
		now := march
		for i := range 24 {
			s := hour(now, 4)
			if i >= 24-c.warm {
				s = hour(now, 12)
			}
			if c.blind {
				s.Measured, s.KineticC, s.MinC, s.MaxC = 0, 0, 0, 0
			}
			if err := l.Store(s); err != nil {
				t.Fatal(err)
			}
			now = s.To
		}
		if c.later > 0 {
			s := hour(now.Add(c.later), 4)
			s.Place = Cool
			if err := l.Store(s); err != nil {
				t.Fatal(err)
			}
		}
		got := ""
		for _, p := range l.PlacesDue() {
			got += p.Wants(rules.Metric)
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", what, got, c.want)
		}
	}
}

// However hours fall, in order or not, and wherever a stay begins and ends: sums and
// blocks say what counting them one by one says.
func TestSumsSayWhatCountingSays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var l Ledger
		var all []Stored
		at := march
		for i := range rapid.IntRange(1, 300).Draw(t, "hours") {
			at = at.Add(time.Duration(i%3) * 10 * time.Minute)
			s := hour(at, float64(i*37%41)-5)
			if i%7 == 3 {
				s.Measured, s.KineticC, s.MinC, s.MaxC = 0, 0, 0, 0
			}
			all, at = append(all, s), s.To
		}
		order := rapid.Permutation(all[:min(4, len(all))]).Draw(t, "order")
		for _, s := range append(order, all[len(order):]...) {
			if err := l.Store(s); err != nil {
				t.Fatal(err)
			}
		}
		from := march.Add(time.Duration(rapid.IntRange(0, 20000).Draw(t, "from")) * time.Minute)
		until := from.Add(time.Duration(rapid.IntRange(1, 9000).Draw(t, "minutes")) * time.Minute)
		var want shelf.Kinetic
		warmest := math.Inf(-1)
		for _, s := range all {
			if part := s.part(from, until); part > 0 && s.Measured > 0 {
				want, warmest = want.With(s.KineticC, part), max(warmest, s.MaxC)
			}
		}
		got := l.stores.kept(Fridge, from, until)
		if got == nil {
			if want.Weight() > 0.001 {
				t.Fatalf("nothing, want %v °C over %v h", want.Celsius(), want.Weight())
			}
			return
		}
		if math.Abs(got.KineticC-want.Celsius()) > 0.001 || got.MaxC != warmest {
			t.Fatalf("%+v, want %v and %v °C", got, want.Celsius(), warmest)
		}
	})
}

// Books go on saying what they said when an hour is stored into their clone.
func TestAnHourInACloneLeavesTheBooksAsTheyAre(t *testing.T) {
	y, since := inFridge(t)
	for i := range 70 {
		y.stored(hour(since.Add(time.Duration(i)*time.Hour), 4))
	}
	before := *y.bottle("b1/1").Kept()
	for _, celsius := range []float64{30, 40} {
		if err := y.l.Clone().Store(hour(since.Add(70*time.Hour), celsius)); err != nil {
			t.Fatal(err)
		}
	}
	if now := *y.bottle("b1/1").Kept(); now != before {
		t.Errorf("now they say %+v, before %+v", now, before)
	}
}
