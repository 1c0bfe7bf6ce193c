package judge

import (
	"bainward/sensors"
	"bainward/sensors/bench"
	"fmt"
	"testing"
	"time"
)

func TestPeek(t *testing.T) {
	for seed := uint64(1); seed <= 16; seed++ {
		r := Rig{Seed: seed, Every: 2 * time.Second}
		rig := r.build()
		c, _ := r.Course(Tended)
		c.prepare()
		script, _ := bench.Attend(rig, bench.Habits{SaysTo: 0.05, Longest: 4 * time.Hour, TopUpEvery: 30 * time.Minute})
		fmt.Printf("rig %d hang=%v fill %.2f bare %.2f open %.4f tap %.0f simmer %.0f/%.0f lag %.0f per %.0f boil %.1f onset %.1f\n", seed, c.Hanging, rig.Pan.FillKg, c.BareKg, 0.0, rig.Pan.TapC, rig.Hob.Simmer*rig.Hob.Efficiency, rig.Hob.Power*rig.Hob.Efficiency, rig.Hob.Lag, rig.Hob.Period, 0.0, rig.Pan.BoilOnset)
		i := 0
		bench.Run(rig, script, 2*time.Second, func(f sensors.Frame, ev string, tr bench.Truth) {
			if ev != "" || i%600 == 0 {
				fmt.Printf("   %6s w %.3f lvl-base %.1f off %.2f  bathread %.2f water %.2f boil %.2f oil %.2f herb %.3f heat %.0f vig %.2f %s\n", f.At, tr.WaterKg, tr.LevelMM-rig.True.DishBaseHeight, tr.BoilOffKgH, f.Probes[1].Temperature.Celsius(), tr.WaterC, tr.BoilingC, tr.OilC, tr.HerbWaterKg, tr.HeatW, tr.Vigour, ev)
			}
			i++
		})
	}
}
