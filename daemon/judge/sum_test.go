package judge

import (
	"fmt"
	"testing"
	"time"
)

func TestSum(t *testing.T) {
	for seed := uint64(1); seed <= 24; seed++ {
		r := Rig{Seed: seed, Exact: true, Every: 2 * time.Second}
		rig := r.build()
		c, _ := r.Course(Tended)
		p := play(c)
		var be, te, me, ue sample
		for _, v := range p.seen {
			if !v.lit || v.at >= p.ends() || v.sinceIn < settled || !v.firstIn {
				continue
			}
			if x := p.lossAt(v.truth); x == x {
				be.add(v.estimate.BoilOffKgH.P50/x - 1)
			}
			l := p.bareIn(v.truth)
			te.add(v.estimate.ToBareS.P50/l - 1)
			me.add(v.estimate.WaterKg.P50 - p.Truth[v.truth].WaterKg)
			ue.add(v.estimate.DishWPerK.P50)
		}
		fmt.Printf("%d hang %v boil %+.0f ttb %+.0f w %+.2f UA %.1f | lag %.0f mix %.0f dip %.1f tap %.0f hoblag %.0f per %.0f onset %.1f pan %.0f gap %.0f press %.0f dishA %.3f\n", seed, c.Hanging, 100*be.at(.5), 100*te.at(.5), me.at(.5), ue.at(.5),
			rig.BathProbe.Lag, rig.Pan.MixTime, rig.Pan.DipGain, rig.Pan.TapC, rig.Hob.Lag, rig.Hob.Period, rig.Pan.BoilOnset, rig.Pan.FloorHeat+rig.Pan.WallHeat, rig.Dish.SteamGap, rig.Air.Pressure/100, rig.True.DishOutsideDiameter)
	}
}
