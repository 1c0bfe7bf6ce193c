package fold_test

import (
	"fmt"
	"sync"
	"testing"
	"time"

	"bainward/sensors/bench"
)

// late holds how late, after the pan was truly dry, each kitchen was told.
type late struct {
	sync.Mutex
	first, last   time.Duration
	early, latest uint64 // kitchens
	n             int
}

func (l *late) note(seed uint64, by time.Duration) {
	l.Lock()
	defer l.Unlock()
	if l.n == 0 || by < l.first {
		l.first, l.early = by, seed
	}
	if l.n == 0 || by > l.last {
		l.last, l.latest = by, seed
	}
	l.n++
}

// A pan that runs dry is told within a minute by a probe on its floor and
// within three by one that hangs, in thirty kitchens. Nothing may be told while
// more than two minutes' water is left: the last of it no longer covers the floor.
func TestADryPanIsToldInTime(t *testing.T) {
	const kitchens, tooEarly = 30, 2 * time.Minute
	places := []struct {
		name   string
		spot   bench.Spot
		within time.Duration
		all    late
	}{
		{name: "on the floor", spot: bench.Lying, within: time.Minute},
		{name: "hanging", spot: bench.Hanging, within: 3 * time.Minute},
	}
	t.Run("kitchens", func(t *testing.T) {
		for seed := uint64(1); seed <= kitchens; seed++ {
			t.Run(fmt.Sprint(seed), func(t *testing.T) {
				if testing.Short() && seed > 3 {
					t.Skip("three kitchens will do")
				}
				t.Parallel()
				rig, script := forgotten(t, seed)
				for i := range places {
					p := &places[i]
					by := toldOfDry(t, rig, script, p.spot)
					p.all.note(seed, by)
					if by > p.within {
						t.Errorf("%s: told %s after the pan was dry, want at most %s", p.name, by, p.within)
					}
					if by < -tooEarly {
						t.Errorf("%s: told %s before the pan was dry", p.name, -by)
					}
				}
			})
		}
	})
	for i := range places {
		all := &places[i].all
		t.Logf("%s: %d kitchens told between %s (kitchen %d) and %s (kitchen %d) after dry",
			places[i].name, all.n, all.first, all.early, all.last, all.latest)
	}
}

// forgotten is a kitchen whose pan is left to boil dry, from water that just
// fails to reach the dish so that it takes no day.
func forgotten(t *testing.T, seed uint64) (bench.Rig, bench.Script) {
	t.Helper()
	rig := bench.Vary(seed)
	rig.Step = 500 * time.Millisecond
	rig.Pan.FillKg = 0.85 * rig.True.BareKg(99)
	script, err := bench.Attend(rig, bench.Habits{Hold: 20 * time.Hour, Longest: 8 * time.Hour})
	if err != nil {
		t.Fatal(err)
	}
	return rig, script
}

// toldOfDry returns how long after the pan was truly dry boiling-dry first came.
func toldOfDry(t *testing.T, rig bench.Rig, script bench.Script, spot bench.Spot) time.Duration {
	t.Helper()
	rig.BathProbe.Place = spot
	if spot == bench.Hanging && rig.BathProbe.Height == 0 {
		rig.BathProbe.Height = 0.4 * rig.True.DishBaseHeight
	}
	rows, truth := run(t, rig, script, time.Second)
	dry := truth[len(truth)-1].FirstDry
	if dry == bench.Never {
		t.Fatal("the pan never ran dry")
	}
	cfg := configOf(rig)
	for _, l := range raisedIn(&cfg, rows) {
		if l.Alarm == "boiling-dry" {
			return l.At.Sub(rows[0].Wall) - dry
		}
	}
	t.Fatal("nobody was told that the pan is dry")
	return 0
}
