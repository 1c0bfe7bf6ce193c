package fold_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/fold"
	"bainward/rules/trace"
	"bainward/sensors"
	"bainward/sensors/bench"
)

// raisedIn folds a trace and lists the alarms that came up, as a maker is told.
func raisedIn(cfg *rules.Config, rows []trace.Row) []fold.Line {
	var up []fold.Line
	fold.Replay(cfg, rows, func(l fold.Line) {
		if l.Kind == fold.AlarmLine && l.State == "unacknowledged" {
			up = append(up, l)
		}
	})
	return up
}

// raisesOnly fails for each alarm that came up and is not among those allowed.
func raisesOnly(t *testing.T, where string, cfg *rules.Config, rows []trace.Row, allowed ...string) {
	t.Helper()
	for _, l := range raisedIn(cfg, rows) {
		if !slices.Contains(allowed, l.Alarm) {
			t.Errorf("%s: %s after %s: %s", where, l.Alarm, l.At.Sub(rows[0].Wall), l.Text)
		}
	}
}

// withoutBarometer returns the rows of a site that has none.
func withoutBarometer(rows []trace.Row) []trace.Row {
	bare := slices.Clone(rows)
	for i := range bare {
		bare[i].Pressure = sensors.Pressure{Fault: sensors.NotFitted}
	}
	return bare
}

// elevationOf returns where the standard atmosphere has a pressure, by halving:
// the bench's own law, not that of the rules.
func elevationOf(pascal float64) float64 {
	low, high := -1000.0, 5000.0
	for range 50 {
		if middle := (low + high) / 2; bench.PressureAt(middle) > pascal {
			low = middle
		} else {
			high = middle
		}
	}
	return low
}

// A bath looked after for all of its hold asks for water and for nothing else,
// in forty kitchens that differ as kitchens do: with a barometer, and by the
// elevation alone while the weather is 3 kPa to either side of it.
func TestABathLookedAfterAsksForNothingButWater(t *testing.T) {
	const kitchens = 40
	for seed := uint64(1); seed <= kitchens; seed++ {
		t.Run(fmt.Sprint("kitchen ", seed), func(t *testing.T) {
			if testing.Short() && seed > 5 {
				t.Skip("five kitchens will do")
			}
			t.Parallel()
			rig := bench.Vary(seed)
			rig.Step = time.Second // four times the usual: what is tested here is slow
			script, err := bench.Attend(rig, bench.Habits{TopUpEvery: 25 * time.Minute, Hold: 170 * time.Minute})
			if err != nil {
				t.Fatal(err)
			}
			rows, _ := run(t, rig, script, time.Second)
			cfg := configOf(rig)
			raisesOnly(t, "with a barometer", &cfg, rows, "top-up-due")
			blind := withoutBarometer(rows)
			for _, weather := range []float64{-3000, 3000} {
				cfg.Elevation = elevationOf(rig.Air.Pressure - weather)
				raisesOnly(t, fmt.Sprintf("by the elevation, weather %+.0f Pa", weather), &cfg, blind, "top-up-due")
			}
		})
	}
}

// The same at three elevations, by the scripts that people can read.
func TestANominalBathIsQuietAtAnyElevation(t *testing.T) {
	for _, name := range []string{"nominal-0m", "nominal-1500m", "nominal-2500m"} {
		rows, _ := run(t, bench.DefaultRig(), readScript(t, "../../testdata/baths/"+name+".bath"), time.Second)
		cfg := configOf(bench.DefaultRig())
		raisesOnly(t, name, &cfg, rows, "top-up-due")
	}
}

// Makers who round what they enter, enter nothing, half cover the pan or open a
// window: still nothing but water.
func TestACarelessMakerHearsOfNothingButWater(t *testing.T) {
	for seed := uint64(101); seed <= 116; seed++ {
		t.Run(fmt.Sprint("kitchen ", seed), func(t *testing.T) {
			if testing.Short() && seed > 104 {
				t.Skip("four kitchens will do")
			}
			t.Parallel()
			rig := bench.Vary(seed)
			rig.Step = time.Second // four times the usual: what is tested here is slow
			habits := bench.Habits{TopUpEvery: 30 * time.Minute, Hold: 130 * time.Minute}
			switch seed % 4 {
			case 0:
				habits.Unentered = true
			case 1:
				habits.SaysTo = 0.25
			case 2:
				habits.First = []string{"draught 0.5 m/s"}
			case 3:
				habits.First = []string{"lid half"}
			}
			script, err := bench.Attend(rig, habits)
			if err != nil {
				t.Fatal(err)
			}
			rows, _ := run(t, rig, script, time.Second)
			cfg := configOf(rig)
			raisesOnly(t, fmt.Sprintf("%+v", habits), &cfg, rows, "top-up-due")
		})
	}
}
