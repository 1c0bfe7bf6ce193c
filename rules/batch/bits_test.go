package batch_test

import (
	"flag"
	"fmt"
	"hash/fnv"
	"os"
	"strings"
	"testing"

	"bainward/rules"
	"bainward/rules/balance"
	"bainward/rules/batch"
	"bainward/rules/batch/amount"
)

var update = flag.Bool("update", false, "rewrite testdata/bits.txt from what this machine computes")

// TestSameBits holds hashes of whole plans, figure by figure, to the last bit.
// They go through larder, amount and strength as well. A test of
// rules/repeatable runs it on other processors.
func TestSameBits(t *testing.T) {
	var b strings.Builder
	for _, c := range plans() {
		a := yard()
		c.change(&a)
		p := batch.Reckon(a)
		h := fnv.New64a()
		fmt.Fprintf(h, "%x %x %x\n", p.BoilsC, p.FloorC, ranges(&p))
		for _, f := range p.Findings {
			fmt.Fprintf(h, "%d %x %x\n", f.Level, f.A, f.B)
		}
		fmt.Fprintf(&b, "%-24s FNV-1a %016x\n", c.name, h.Sum64())
	}
	if *update {
		if err := os.WriteFile("testdata/bits.txt", []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile("testdata/bits.txt")
	if err != nil {
		t.Fatal(err)
	}
	if b.String() != string(want) {
		t.Errorf("other bits than in testdata/bits.txt; got\n%swant\n%s", b.String(), want)
	}
}

// ranges lists every range of a plan.
func ranges(p *batch.Plan) []amount.Range {
	g, w, t, c := &p.Goods, &p.Water, &p.Times, &p.ComesOut
	all := []amount.Range{
		g.Water.Range, g.DryKg, g.HerbWaterKg, g.OtherKg, g.OilKg, g.OilMl, g.OilHotMl, g.CoversMl, g.BulkL, g.Ratio, g.DryRatio,
		w.BareKg, w.FillKg, w.CoverMM, t.Boil, t.Hold, t.End, t.All, c.Kg, c.Ml, p.DrivesKg, p.DishFull,
		c.Strength.PerOil, c.Strength.OneTo, c.Strength.DER, c.Strength.MarcKg, c.Strength.LostKg,
	}
	for _, o := range c.Strength.Passes {
		all = append(all, o.OilOutKg, o.SolventRatio, o.DER, o.PerOil)
	}
	return append(all, t.TopUps...)
}

// plan is an ordinary batch, changed.
type plan struct {
	name   string
	change func(*batch.Ask)
}

func plans() []plan {
	return []plan{
		{"ordinary", func(*batch.Ask) {}},
		{"dried, on a mountain", func(a *batch.Ask) { a.Recipe.Fresh, a.Recipe.HerbG, a.Site.Elevation = false, 60, 2500 }},
		{"three macerations", func(a *batch.Ask) { a.Recipe.Macerations = 3 }},
		{"a bath that is known", func(a *batch.Ask) {
			a.Rig.WetsBaseG, a.Site.Prior = 1500, balance.Prior{BareKg: 1.42, BareSD: 0.03, SimmerW: 430, SimmerRel: 0.1}
		}},
		{"nothing known", func(a *batch.Ask) { *a = batch.Ask{Recipe: rules.Recipe{Fresh: true}} }},
	}
}
