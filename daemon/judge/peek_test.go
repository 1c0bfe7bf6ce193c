package judge

import (
	"fmt"
	"os"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/fold"
)

func TestPeek(t *testing.T) {
	for seed := uint64(1); seed <= 10; seed++ {
		kind := Tended
		if os.Getenv("KIND") == "F" {
			kind = Forgotten
		}
		c, _ := Rig{Seed: seed, Exact: os.Getenv("EXACT") != "", Every: 2 * time.Second}.Course(kind)
		c.prepare()
		var bath fold.Bath
		fmt.Printf("rig %d hang=%v stated bare %.2f true %.2f\n", seed, c.Hanging, c.Config.BareKg(), c.BareKg)
		for i := range c.Rows {
			row := &c.Rows[i]
			for _, e := range row.Events {
				bath, _ = bath.Step(&c.Config, rules.OfEvent(row.At, e))
			}
			bath, _ = bath.Step(&c.Config, rules.OfFrame(row.Frame()))
			if i%150 == 0 || len(row.Events) > 0 {
				e := bath.Rules.Estimate()
				tr := c.Truth[i]
				fmt.Printf("  %8s bath %.2f oil %.2f w %.2f/%.2f M %.2f/%.2f[sd] P %.0f-%.0f-%.0f UA %.1f r %.2f/%.2f ttb %.0f-%.0f-%.0f / %.0f ch %.2f herb %.3f/%.3f %v\n", row.At,
					row.Probes[1].Temperature.Celsius(), row.Probes[0].Temperature.Celsius(),
					e.WaterKg.P50, tr.WaterKg, e.WaterKg.P50-c.Config.BareKg(), tr.WaterKg-c.BareKg, e.HeatW.P10, e.HeatW.P50, e.HeatW.P90, e.DishWPerK.P50, e.BoilOffKgH.P50, c.lossAt(i),
					e.ToBareS.P10/60, e.ToBareS.P50/60, e.ToBareS.P90/60, c.bareIn(i)/60, e.BareSoon, e.HerbWaterKg.P50, tr.HerbWaterKg, row.Events)
			}
		}
	}
}
