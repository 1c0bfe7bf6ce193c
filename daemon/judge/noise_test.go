package judge

import (
	"fmt"
	"testing"
	"time"

	"bainward/rules"
)

func TestNoise(t *testing.T) {
	for _, kind := range []Kind{Forgotten, Tended, Unentered} {
		for seed := uint64(1); seed <= 40; seed++ {
			r := Rig{Seed: seed, Every: 2 * time.Second}
			c, _ := r.Course(kind)
			p := play(c)
			for id := range rules.IDCount {
				if kind == Tended && id != rules.TopUpDue && len(p.raised[id]) > 0 {
					at := p.raised[id][0]
					i := c.at(at)
					oilmax := 0.0
					for k := range c.Rows {
						if c.Rows[k].At < p.ends() {
							oilmax = max(oilmax, c.Rows[k].Probes[0].Temperature.Celsius())
						}
					}
					fmt.Printf("rig %d %v at %v ends %v bath %v oil %v oilmax %.1f boil press %d bare %v\n", seed, id, p.raised[id], p.ends(), c.Rows[i].Probes[1].Temperature.Celsius(), c.Rows[i].Probes[0].Temperature.Celsius(), oilmax, c.Rows[i].Pressure.Pascal, c.Truth[i].Bare)
				}
			}
			k := map[Kind]string{}
			_ = k
			if kind != Unentered && len(p.pours) > 0 || kind == Unentered && falses(p) > 0 {
				for _, at := range p.pours {
					i := c.at(at)
					fmt.Printf("   kind %d rig %d pour seen %v of %v: w", kind, seed, at, p.ends())
					for j := i - 60; j < i+10; j += 5 {
						fmt.Printf(" %.2f", c.Rows[j].Probes[1].Temperature.Celsius())
					}
					fmt.Println()
				}
			}
		}
	}
}

func falses(p *played) int {
	var s Score
	s.pours(p)
	return s.falsePours
}

func TestDry(t *testing.T) {
	for seed := uint64(1); seed <= 60; seed++ {
		r := Rig{Seed: seed, Every: 2 * time.Second}
		c, _ := r.Course(Forgotten)
		p := play(c)
		for i, x := range p.Truth {
			if i > 0 && x.Dry && !p.Truth[i-1].Dry {
				at, ok := p.first(rules.BoilingDry, x.At-5*time.Minute)
				limit := 60 * time.Second
				if p.Hanging {
					limit *= 3
				}
				late := at - x.At
				if !ok || late > limit {
					fmt.Printf("rig %d hang %v dry at %v raised %v %v late %v end %v\n   ", seed, c.Hanging, x.At, p.raised[rules.BoilingDry], ok, late, p.Truth[len(p.Truth)-1].At)
					for j := i - 120; j < i+200 && j < len(c.Rows); j += 10 {
						fmt.Printf(" %.1f", c.Rows[j].Probes[1].Temperature.Celsius())
					}
					fmt.Println()
				}
				break
			}
		}
	}
}
