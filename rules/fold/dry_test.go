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
	for _, place := range []struct {
		name   string
		spot   bench.Spot
		within time.Duration
	}{
		{"on the floor", bench.Lying, time.Minute},
		{"hanging", bench.Hanging, 3 * time.Minute},
	} {
		t.Run(place.name, func(t *testing.T) {
			var all late
			t.Run("kitchens", func(t *testing.T) {
				for seed := uint64(1); seed <= kitchens; seed++ {
					t.Run(fmt.Sprint(seed), func(t *testing.T) {
						if testing.Short() && seed > 3 {
							t.Skip("three kitchens will do")
						}
						t.Parallel()
						by := boilsDry(t, seed, place.spot)
						all.note(seed, by)
						if by > place.within {
							t.Errorf("told %s after the pan was dry, want at most %s", by, place.within)
						}
						if by < -tooEarly {
							t.Errorf("told %s before the pan was dry", -by)
						}
					})
				}
			})
			t.Logf("%d kitchens told between %s (kitchen %d) and %s (kitchen %d) after dry", all.n, all.first, all.early, all.last, all.latest)
		})
	}
}

// boilsDry lets a pan boil dry, from water that just fails to reach the dish so
// that it takes no day, and returns how long after that it was told first.
func boilsDry(t *testing.T, seed uint64, spot bench.Spot) time.Duration {
	t.Helper()
	rig := bench.Vary(seed)
	rig.BathProbe.Place = spot
	if spot == bench.Hanging && rig.BathProbe.Height == 0 {
		rig.BathProbe.Height = 0.4 * rig.True.DishBaseHeight
	}
	rig.Pan.FillKg = 0.85 * rig.True.BareKg(99)
	script, err := bench.Attend(rig, bench.Habits{Hold: 20 * time.Hour, Longest: 8 * time.Hour})
	if err != nil {
		t.Fatal(err)
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
