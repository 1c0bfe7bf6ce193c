package fold_test

import (
	"fmt"
	"testing"
	"time"

	"bainward/rules/fold"
	"bainward/sensors/bench"
)

func TestExplore(t *testing.T) {
	for _, place := range []bench.Spot{bench.Lying, bench.Hanging} {
		for seed := uint64(1); seed <= 30; seed++ {
			rig := bench.Vary(seed)
			rig.BathProbe.Place = place
			if place == bench.Hanging && rig.BathProbe.Height == 0 {
				rig.BathProbe.Height = 0.4 * rig.True.DishBaseHeight
			}
			rig.Pan.FillKg = 0.85 * rig.True.BareKg(99)
			script, err := bench.Attend(rig, bench.Habits{Hold: 20 * time.Hour, Longest: 8 * time.Hour})
			if err != nil {
				t.Fatal(err)
			}
			rows, truth := run(t, rig, script, time.Second)
			cfg := configOf(rig)
			dry := truth[len(truth)-1].FirstDry
			s := fmt.Sprintf("place %d seed %2d dry %s:", place, seed, dry)
			for _, l := range raisedIn(&cfg, rows) {
				at := l.At.Sub(rows[0].Wall)
				if l.Alarm == "boiling-dry" || l.Alarm == "overheating"|| l.Alarm=="probe-doubtful" {
					s += fmt.Sprintf(" [%s %+.0f %s]", l.Alarm, (at - dry).Seconds(), l.Text)
				}
			}
			t.Log(s)
		}
	}
	_ = fold.AlarmLine
}
