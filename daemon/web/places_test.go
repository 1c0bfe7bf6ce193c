package web

import (
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/batch/ledger"
)

// warmFridge is a yard whose refrigerator stood at 20 °C for a week, with two bottles
// in it and one in a room that nobody measures.
func warmFridge(t *testing.T) *keeper {
	k := newKeeper(t)
	amount, err := ledger.ParseAmount("100 ml")
	if err != nil {
		t.Fatal(err)
	}
	const batch = "2026-03-01-north-1"
	k.put(
		ledger.Bottles{Batch: batch, Numbers: []int{1, 2}, Each: amount, AtC: 20, Place: ledger.Fridge, Label: true},
		ledger.Bottles{Batch: batch, Numbers: []int{3}, Each: amount, AtC: 20, Place: ledger.Room, Label: true},
	)
	at := k.now
	for range 7 * 24 {
		s := ledger.Stored{Place: ledger.Fridge, From: at, To: at.Add(time.Hour), Measured: time.Hour, KineticC: 20, MinC: 19, MaxC: 21.5, WarmC: 8}
		if err := k.books.Store(s); err != nil {
			t.Fatal(err)
		}
		at = s.To
	}
	return k
}

// The shelf says how warm bottles stood, that the refrigerator wants seeing to, and
// once what a mean kinetic temperature is; of the room it says nothing.
func TestTheShelfSaysHowWarmBottlesStood(t *testing.T) {
	for units, want := range map[rules.Units][]string{
		rules.Metric: {"mean kinetic temperature 20.0 °C, warmest 21.5 °C", "The refrigerator was too warm over the last day, 20.0 °C, and should be under 8.0 °C: look at its door and its setting."},
		rules.US:     {"mean kinetic temperature 68.0 °F, warmest 70.7 °F", "The refrigerator was too warm over the last day, 68.0 °F, and should be under 46.4 °F: look at its door and its setting."},
	} {
		k := warmFridge(t)
		v := newPlanningView(holding("north"))
		v.site.Units = units
		h := newHandler(t, v, k)
		shelf := words(page(t, h, "/shelf"))
		for _, w := range append(want, "12 days sooner, for it stood warmer than it should") {
			if !strings.Contains(shelf, w) {
				t.Errorf("%q is not on the shelf:\n%s", w, shelf)
			}
		}
		if n := strings.Count(shelf, ledger.KineticWords); n != 1 {
			t.Errorf("what the mean kinetic temperature is, is said %d times", n)
		}
		if _, room, _ := strings.Cut(shelf, "At room temperature, dark 1 bottle"); !strings.HasPrefix(room, ", ") || strings.Contains(room[:strings.Index(room, "In the refrigerator")], "measured") {
			t.Errorf("something is said of a room that nobody measures:\n%s", room)
		}
		batch := words(page(t, h, "/batch/2026-03-01-north-1"))
		if !strings.Contains(batch, want[0]) || strings.Count(batch, ledger.KineticWords) != 1 {
			t.Errorf("the batch's page does not say %q, once explained", want[0])
		}
	}
}

// Programs find the same, and with ?due only the places to see to.
func TestProgramsFindHowWarmBottlesStood(t *testing.T) {
	h := newHandler(t, newPlanningView(holding("north")), warmFridge(t))
	var answer struct {
		Bottles []ledger.Bottle   `json:"bottles"`
		Places  []ledger.PlaceNow `json:"places"`
	}
	readInto(t, h, "/api/shelf", &answer)
	if k := answer.Bottles[0].Kept(); k == nil || k.KineticC != 20 || k.MaxC != 21.5 || answer.Bottles[0].Sooner != 12 {
		t.Errorf("the bottle says %+v", k)
	}
	if k := answer.Bottles[2].Kept(); k != nil {
		t.Errorf("the one in the room says %+v", k)
	}
	answer.Places = nil
	readInto(t, h, "/api/shelf?due", &answer)
	if len(answer.Places) != 1 || !answer.Places[0].Warm || answer.Places[0].Day == nil {
		t.Errorf("with ?due it says %+v", answer.Places)
	}
}
