package ledger

import (
	"fmt"

	"bainward/rules/batch/amount"
	"bainward/rules/batch/larder"
	"bainward/rules/batch/strength"
)

// pass is what was put in and weighed of one maceration.
type pass struct {
	herbKg   amount.Range
	waterKg  amount.Range // in the herb as it was weighed
	fresh    bool
	oilKg    amount.Range // new oil
	oil      bool         // some new oil went in
	weighed  map[Weighed]amount.Range
	withinKg float64 // the worst scale that was used
}

// passes sorts a batch's materials and weighings by maceration; [0] is the first.
func (b *batch) passes() []pass {
	count := 1
	for _, m := range b.materials {
		count = max(count, m.Fact.Pass)
	}
	for _, w := range b.weighings {
		count = max(count, w.Fact.Pass)
	}
	all := make([]pass, count)
	for i := range all {
		all[i] = pass{
			herbKg: amount.Exactly(0), waterKg: amount.Exactly(0), oilKg: amount.Exactly(0),
			weighed: map[Weighed]amount.Range{}, withinKg: scaleKg,
		}
	}
	for _, m := range b.materials {
		all[max(1, m.Fact.Pass)-1].take(m.Fact)
	}
	for _, w := range b.weighings {
		all[max(1, w.Fact.Pass)-1].weigh(w.Fact)
	}
	return all
}

func (p *pass) take(m Material) {
	switch m.What {
	case Herb:
		kg := m.Quantity.kg(larder.Oil{}, 0, scaleKg)
		share := larder.Water(larder.ParseName(m.Name), m.State == Fresh).Range
		water := amount.Propagate(func(x []float64) float64 { return x[0] * x[1] }, kg, share)
		p.herbKg, p.waterKg = plus(p.herbKg, kg), plus(p.waterKg, water)
		p.fresh = p.fresh || m.State == Fresh
	case Oil:
		p.oilKg, p.oil = plus(p.oilKg, m.Quantity.kg(larder.FindOil(m.Name), m.AtC, scaleKg)), true
	}
}

func (p *pass) weigh(w Weighing) {
	within := scaleKg
	if !w.Within.IsZero() {
		within = w.Within.kg(larder.Oil{}, 0, 0).P50
	}
	kg := w.Quantity.kg(larder.Oil{}, 0, within)
	if before, ok := p.weighed[w.What]; ok {
		kg = plus(before, kg)
	}
	p.weighed[w.What] = kg
	p.withinKg = max(p.withinKg, within)
}

// oilIn returns the new oil of the first maceration: as it was weighed in the
// dish, else as the materials say.
func (p *pass) oilIn() (kg amount.Range, ok bool) {
	if kg, ok := p.weighed[OilIn]; ok {
		return kg, true
	}
	return p.oilKg, p.oil
}

// strength reckons how strong the oil is, from what was weighed. Where nobody
// weighed, a marc is taken to keep what drained ones do.
func (b *batch) strength() (strength.Result, error) {
	var books []strength.Pass
	dish := 0.0 // what came out of the maceration before
	for i, p := range b.passes() {
		if p.herbKg.P50 == 0 {
			return strength.Result{}, fmt.Errorf("no herb was entered for maceration %d", i+1)
		}
		in, known := p.oilIn()
		switch _, weighed := p.weighed[OilIn]; {
		case i == 0 && !known:
			return strength.Result{}, fmt.Errorf("no oil was entered")
		case i > 0 && !weighed && p.oil:
			in = amount.Exactly(dish + p.oilKg.P50) // fresh oil on top of the old
		case i > 0 && !known:
			in = amount.Exactly(dish) // all that came out before, and nothing else
		}
		marc, err := p.marc(in.P50)
		if err != nil {
			return strength.Result{}, fmt.Errorf("maceration %d: %w", i+1, err)
		}
		dish = in.P50 - marc.Kg.P50
		books = append(books, strength.Pass{
			HerbKg: p.herbKg.P50, Fresh: p.fresh, Water: amount.Times(p.waterKg, 1/p.herbKg.P50), OilKg: in.P50, Marc: marc,
		})
	}
	return strength.Reckon(books)
}

// marc returns the oil in the spent herb: the difference of two weighings of the
// oil, else what the wet marc weighs beyond its herb, else a rule of thumb.
func (p *pass) marc(oilInKg float64) (strength.Marc, error) {
	if out, ok := p.weighed[OilOut]; ok {
		return strength.FromOil(oilInKg, out.P50, p.withinKg)
	}
	dry := less(p.herbKg, p.waterKg)
	if marc, ok := p.weighed[Marc]; ok {
		// Of the herb's water little is left after a hot hold (own estimate, no
		// source: weigh the oil).
		left := amount.Propagate(func(x []float64) float64 { return x[0] * x[1] }, dry, amount.Between(0, 0.1, 0.5))
		return strength.FromMarc(marc.P50, dry, left)
	}
	share := amount.Times(p.waterKg, 1/p.herbKg.P50)
	return strength.Estimated(strength.Drained, larder.DryEquivalent(p.herbKg.P50, share)), nil
}
