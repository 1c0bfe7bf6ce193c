package judge

import (
	"fmt"
	"testing"
	"time"
)

func TestHerb(t *testing.T) {
	for seed := uint64(1); seed <= 24; seed++ {
		r := Rig{Seed: seed, Every: 2 * time.Second}
		c, _ := r.Course(Tended)
		p := play(c)
		rig := r.build()
		fmt.Printf("rig %d kg %.2f water %.2f sinks %v rate %.1fe-4 brought %.3f book %.3f|", seed, rig.Herb.Kg, rig.Herb.Water, rig.Herb.Sinks, rig.Herb.Rate*1e4, rig.Herb.Kg*rig.Herb.Water, rig.Herb.Kg*0.73)
		for i, v := range p.seen {
			if i%25 == 0 && v.at < p.ends() {
				h := v.estimate.HerbWaterKg
				fmt.Printf(" %.0f:%.3f-%.3f-%.3f/%.3f %v", v.at.Minutes(), h.P10, h.P50, h.P90, p.Truth[v.truth].HerbWaterKg, v.herbGone)
			}
		}
		fmt.Println()
	}
}
