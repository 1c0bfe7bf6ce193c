package main

import (
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/batch/ledger"
)

// The shelf in a terminal says once for all bottles that came together how warm they
// stood, what a place wants, and what the words mean; of an unmeasured place nothing.
func TestTheShelfInATerminalSaysHowWarmItWas(t *testing.T) {
	var l ledger.Ledger
	at := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	each, err := ledger.ParseAmount("100 ml")
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range []ledger.Fact{
		ledger.Opened{Batch: "b1", Bath: "north"},
		ledger.Bottles{Batch: "b1", Numbers: []int{1, 2, 3}, Each: each, AtC: 20, Place: ledger.Fridge},
		ledger.Bottles{Batch: "b1", Numbers: []int{4}, Each: each, AtC: 20, Place: ledger.Cool},
	} {
		if err := l.Enter(ledger.Entry{Seq: int64(i + 1), When: at, Who: "Robin", Fact: f}); err != nil {
			t.Fatal(err)
		}
	}
	for range 48 {
		s := ledger.Stored{Place: ledger.Fridge, From: at, To: at.Add(time.Hour), Measured: 54 * time.Minute, KineticC: 10, MinC: 9, MaxC: 11, WarmC: 8}
		if err := l.Store(s); err != nil {
			t.Fatal(err)
		}
		at = s.To
	}
	text := shelfText(l.Shelf(), l.PlacesNow(), rules.US, time.UTC)
	for _, want := range []string{
		"The refrigerator, over the last day measured 90 % of the time: mean kinetic temperature 50.0 °F, warmest 51.8 °F.",
		"b1/1 to b1/3 (3) stood in the refrigerator since 2026-03-01 09:00: measured 90 % of the time: mean kinetic temperature 50.0 °F, warmest 51.8 °F.",
		ledger.KineticWords,
	} {
		if strings.Count(text, want) != 1 {
			t.Errorf("%q is not said once:\n%s", want, text)
		}
	}
	if strings.Contains(text, "b1/4 stood") {
		t.Errorf("something is said of a place that nobody measures:\n%s", text)
	}
	due := dueText(l.Due(ledger.DayOf(at)), l.PlacesDue(), ledger.DayOf(at), rules.Metric)
	if !strings.HasPrefix(due, "The refrigerator was too warm over the last day, 10.0 °C, and should be under 8.0 °C: look at its door and its setting.\nOn 2026-03-03 no bottle wants") {
		t.Errorf("due is\n%s", due)
	}
}
