package judge

import (
	"fmt"
	"testing"
	"time"

	"bainward/rules"
)

func TestMisled(t *testing.T) {
	for seed := uint64(1); seed <= 100; seed++ {
		r := Rig{Seed: seed, Every: 2 * time.Second}
		c, _ := r.Course(Misled)
		var s Score
		p := play(c)
		s.bareUnseen(p)
		if s.misled.of == 1 && s.misled.yes == 0 {
			for i, x := range c.Truth {
				if x.Bare && !c.Truth[i-1].Bare {
					rig := r.build()
					fmt.Printf("rig %d bare at %v raised %v gap %.0f sinks %v inner %.0f holdsoil %.2f  oil:", seed, x.At, p.raised[rules.DishBare], rig.Dish.SteamGap, rig.Herb.Sinks, rig.Dish.OilSide, rig.Dish.OilKg)
					for j := i - 300; j < i+600 && j < len(c.Rows); j += 60 {
						fmt.Printf(" %.1f/%.1f", c.Rows[j].Probes[0].Temperature.Celsius(), c.Rows[j].Probes[1].Temperature.Celsius())
					}
					fmt.Println()
					break
				}
			}
		}
	}
}
