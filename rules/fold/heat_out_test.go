package fold_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"bainward/sensors/bench"
)

// The heat goes out in the middle of the hold, in thirty kitchens. The maker is
// told before the oil is truly below its floor or within three minutes of it, for
// from then on the hold does not count.
func TestHeatThatGoesOutIsToldInTime(t *testing.T) {
	const kitchens, within = 30, 3 * time.Minute
	var all late
	t.Run("kitchens", func(t *testing.T) {
		for seed := uint64(1); seed <= kitchens; seed++ {
			t.Run(fmt.Sprint(seed), func(t *testing.T) {
				if testing.Short() && seed > 3 {
					t.Skip("three kitchens will do")
				}
				t.Parallel()
				by := heatGoesOut(t, seed)
				all.note(seed, by)
				if by > within {
					t.Errorf("told %s after the oil was below its floor, want at most %s", by, within)
				}
			})
		}
	})
	t.Logf("%d kitchens told between %s (kitchen %d) and %s (kitchen %d) after the oil fell below its floor", all.n, all.first, all.early, all.last, all.latest)
}

// heatGoesOut takes the heat away where a maker would have strained after half an
// hour of hold, and returns how long after the oil fell below its floor
// off-the-simmer came.
func heatGoesOut(t *testing.T, seed uint64) time.Duration {
	t.Helper()
	rig := bench.Vary(seed)
	rig.Step = time.Second // four times the usual: what is tested here is slow
	whole, err := bench.Attend(rig, bench.Habits{TopUpEvery: 25 * time.Minute, Hold: 30 * time.Minute})
	if err != nil {
		t.Fatal(err)
	}
	before, _, found := strings.Cut(whole.String(), " strain\n")
	if !found {
		t.Fatalf("the maker never strained:\n%s", whole)
	}
	out, err := time.ParseDuration(before[strings.LastIndex(before, " ")+1:])
	if err != nil {
		t.Fatal(err)
	}
	text := fmt.Sprintf("%s hob off\nat %s end\n", before, out+40*time.Minute)
	script, err := bench.ParseScript("heat out", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	rows, truth := run(t, rig, script, time.Second)
	var below time.Duration
	for _, now := range truth {
		if now.At > out && now.OilC < now.BoilingC-15 {
			below = now.At
			break
		}
	}
	cfg := configOf(rig)
	for _, l := range raisedIn(&cfg, rows) {
		if at := l.At.Sub(rows[0].Wall); l.Alarm == "off-the-simmer" && at > out {
			return at - below
		}
	}
	t.Fatal("nobody was told that the heat went out")
	return 0
}
