package fold_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/fold"
	"bainward/rules/trace"
	"bainward/sensors/bench"
)

// raisedIn folds a trace and lists what alarms came up, each with its instant.
func raisedIn(cfg *rules.Config, rows []trace.Row) []fold.Line {
	var up []fold.Line
	fold.Replay(cfg, rows, func(l fold.Line) {
		if l.Kind == fold.AlarmLine && l.State == "unacknowledged" {
			up = append(up, l)
		}
	})
	return up
}

// without takes the barometer away: the pressure is then the site's, and the
// weather is up to 3 kPa off it.
func without(rig bench.Rig) bench.Rig {
	rig.Barometer.Fitted = false
	return rig
}

// elevationOf is what the maker of a rig writes down: the rig's weather is
// within ±2.5 % of the standard atmosphere there. Found by halving.
func elevationFor(pascal float64) float64 {
	low, high := -500.0, 3500.0
	for range 40 {
		mid := (low + high) / 2
		if bench.PressureAt(mid) > pascal {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// A bath that is looked after for its whole hold raises nothing but requests
// for water, in forty kitchens that differ as kitchens do.
func TestALookedAfterBathAsksForNothingButWater(t *testing.T) {
	const kitchens = 40
	for seed := uint64(1); seed <= kitchens; seed++ {
		rig := bench.Vary(seed)
		script, err := bench.Attend(rig, bench.Habits{TopUpEvery: 25 * time.Minute})
		if err != nil {
			t.Fatal(err)
		}
		rows, _ := run(t, rig, script, time.Second)
		cfg := configOf(rig)
		told(t, fmt.Sprintf("kitchen %d", seed), rows, raisedIn(&cfg, rows), "top-up-due")
		last := rows[len(rows)-1]
		_ = last
	}
}

// told fails for each alarm that is not among those allowed.
func told(t *testing.T, where string, rows []trace.Row, up []fold.Line, allowed ...string) {
	t.Helper()
	for _, l := range up {
		if !strings.Contains(strings.Join(allowed, " "), l.Alarm) {
			t.Errorf("%s: at %s %s: %s", where, l.At.Sub(rows[0].Wall), l.Alarm, l.Text)
		}
	}
}
