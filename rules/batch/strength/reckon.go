package strength

import (
	"fmt"

	"bainward/rules/batch/amount"
	"bainward/rules/batch/larder"
)

// Pass is one maceration.
type Pass struct {
	HerbKg float64      // as it was weighed
	Fresh  bool         // for people; the reckoning goes by Water
	Water  amount.Range // share of water in the herb as it was weighed
	// OilKg is the oil in the dish when the pass begins. Above what came out of
	// the pass before, it is fresh oil; below, some was set aside. 0 in a later
	// pass: all that came out, and nothing else.
	OilKg float64
	Marc  Marc
	// LostKg was spilt, or stayed on dish and cloth.
	LostKg amount.Range
}

// Dried returns a Pass of dried herb that counts as dry as it is.
func Dried(herbKg, oilKg float64, m Marc) Pass {
	return Pass{HerbKg: herbKg, Water: amount.Exactly(larder.ReferenceDry), OilKg: oilKg, Marc: m}
}

// OfPass is what is said of one maceration by itself.
type OfPass struct {
	DryKg        amount.Range // herb as dry herb, kg
	OilInKg      amount.Range // in the dish
	OilOutKg     amount.Range
	SolventRatio amount.Range // parts of oil put in to 1 part of dry herb
	DER          amount.Range // parts of oil obtained to 1 part of dry herb
	PerOil       amount.Range // after this pass, kg of dry herb to 1 kg of oil
}

// Result is the books of a batch.
type Result struct {
	Passes []OfPass
	// PerOil is the dry herb, in kg, that stands behind 1 kg of the oil; OneTo
	// the same as 1 part in so many.
	PerOil, OneTo amount.Range
	// DER: parts of oil obtained to 1 part of all the dry herb used.
	DER amount.Range
	// The oil, kg: NewKg = OutKg + MarcKg + LostKg + AsideKg.
	NewKg, OutKg, MarcKg, LostKg, AsideKg amount.Range
	Yield                                 amount.Range // OutKg of NewKg, a share
	HerbKg                                float64      // as weighed, all passes
	DryKg                                 amount.Range // as dry herb, all passes
	Fresh                                 bool         // some of the herb was fresh
	AllWeighed                            bool         // no marc was estimated
}

// book is one walk through the passes with exact figures.
type book struct {
	perOil, out, fresh, marc, lost, aside, dry float64
}

// step enters one pass. It returns the oil that was in the dish.
func (b *book) step(dry, oil, marc, lost float64) float64 {
	switch {
	case oil == 0:
		oil = b.out
	case oil > b.out:
		b.perOil = b.perOil * b.out / oil
		b.fresh += oil - b.out
	default:
		b.aside += b.out - oil
	}
	b.perOil += dry / oil
	b.dry += dry
	b.marc += marc
	b.lost += lost
	b.out = oil - marc - lost
	return oil
}

// figures of one pass and of the whole, in the order in which walk lists them.
const (
	ofPass  = 6
	ofWhole = 9
)

// walk enters the passes, four figures of x each, and lists what comes of it.
func walk(passes []Pass) func(x []float64) []float64 {
	return func(x []float64) []float64 {
		var b book
		var list []float64
		for i, p := range passes {
			x := x[3*i:]
			dry := float64(p.HerbKg * larder.DryFactor(x[0], larder.ReferenceDry))
			in := b.step(dry, p.OilKg, x[1], x[2])
			list = append(list, dry, in, b.out, in/dry, b.out/dry, b.perOil)
		}
		return append(list, b.perOil, 1/b.perOil, b.out/b.dry, b.fresh, b.out, b.marc, b.lost, b.aside, b.dry)
	}
}

// Reckon keeps the books of the passes, in their order.
func Reckon(passes []Pass) (Result, error) {
	if len(passes) == 0 {
		return Result{}, fmt.Errorf("reckon strength: no maceration was given")
	}
	r := Result{AllWeighed: true}
	var in []amount.Range
	for i, p := range passes {
		if err := p.check(i); err != nil {
			return Result{}, err
		}
		in = append(in, p.Water, p.Marc.Kg, p.LostKg)
		r.HerbKg += p.HerbKg
		r.Fresh = r.Fresh || p.Fresh
		r.AllWeighed = r.AllWeighed && p.Marc.How == Weighed
	}
	f := amount.PropagateAll(walk(passes), in...)
	for i := range f {
		f[i] = amount.NotBelowZero(f[i])
	}
	for i := range passes {
		p := f[ofPass*i:]
		if !(p[1].P50 > 0 && p[2].P50 > 0) {
			return Result{}, fmt.Errorf("reckon strength: maceration %d: of %.3f kg of oil the marc and the losses leave %.3f kg: weigh again", i+1, p[1].P50, p[2].P50)
		}
		r.Passes = append(r.Passes, OfPass{
			DryKg: p[0], OilInKg: p[1], OilOutKg: p[2], SolventRatio: p[3], DER: p[4], PerOil: p[5],
		})
	}
	f = f[ofPass*len(passes):]
	r.PerOil, r.OneTo, r.DER = f[0], f[1], f[2]
	r.NewKg, r.OutKg, r.MarcKg, r.LostKg, r.AsideKg, r.DryKg = f[3], f[4], f[5], f[6], f[7], f[8]
	r.Yield = amount.Times(r.OutKg, 1/r.NewKg.P50)
	return r, nil
}

func (p Pass) check(i int) error {
	switch {
	case !(p.HerbKg > 0):
		return fmt.Errorf("reckon strength: maceration %d: herb of %g kg: say how much was weighed in", i+1, p.HerbKg)
	case p.OilKg < 0 || i == 0 && !(p.OilKg > 0):
		return fmt.Errorf("reckon strength: maceration %d: oil of %g kg: say how much was weighed in", i+1, p.OilKg)
	case !(p.Water.P10 >= 0 && p.Water.P90 < 1):
		return fmt.Errorf("reckon strength: maceration %d: the herb's share of water is %g to %g, not between 0 and 1", i+1, p.Water.P10, p.Water.P90)
	case !(p.Marc.Kg.P10 >= 0 && p.LostKg.P10 >= 0):
		return fmt.Errorf("reckon strength: maceration %d: the marc or the losses hold less than nothing", i+1)
	}
	return nil
}
