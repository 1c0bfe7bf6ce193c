package batch

import (
	"math"

	"bainward/rules/batch/amount"
	"bainward/rules/batch/larder"
)

// Goods is what goes into the dish.
type Goods struct {
	Herb   larder.Name
	Fresh  bool
	HerbKg float64      // as weighed
	Water  larder.Share // share of it that is water
	// The herb as dry herb, and the water in it, kg.
	DryKg       amount.Range
	HerbWaterKg amount.Range
	// OtherKg is what to weigh in if the herb is dried instead of fresh, or fresh
	// instead of dried.
	OtherKg amount.Range

	Oil       larder.Oil
	OilKg     amount.Range
	OilMl     amount.Range // at 20 °C
	OilHotMl  amount.Range // at the boiling point
	CoversMl  amount.Range // oil that covers the herb, at 20 °C
	BulkL     amount.Range // of the chopped herb, with its gaps
	BulkFrom  string
	Ratio     amount.Range // parts of oil to 1 of herb as weighed
	DryRatio  amount.Range // parts of oil to 1 of dry herb
	SampleBad string
}

const (
	// glassMM: a heat-proof dish is some 4 mm thick.
	glassMM = 4.0
	// overHerbMM: oil stands a little above the herb, or it browns in the air
	// (common practice, no source).
	overHerbMM = 5.0
	// jugRel: a jug of chopped herb is never pressed alike twice.
	jugRel = 0.10
)

func (a Ask) goods(at place) Goods {
	r := a.Recipe
	g := Goods{
		Herb: larder.ParseName(r.Herb), Fresh: r.Fresh, HerbKg: r.HerbG / 1000, Oil: larder.FindOil(r.Oil),
		DryKg: amount.Unknown, HerbWaterKg: amount.Unknown, OtherKg: amount.Unknown,
		Ratio: amount.Unknown, DryRatio: amount.Unknown, CoversMl: amount.Unknown, BulkL: amount.Unknown,
	}
	g.Water = larder.Water(g.Herb, r.Fresh)
	if r.Fresh && a.Given.Sample.Given() {
		if w, err := a.Given.Sample.Water(); err == nil {
			g.Water = w
		} else {
			g.SampleBad = err.Error()
		}
	}
	a.weighOil(&g, at)
	if g.HerbKg > 0 {
		a.weighHerb(&g)
	}
	return g
}

func (a Ask) weighOil(g *Goods, at place) {
	switch {
	case a.Given.OilKg > 0:
		g.OilKg = amount.Exactly(a.Given.OilKg)
	case a.Recipe.OilML > 0:
		g.OilKg = g.Oil.Kg(a.Recipe.OilML, or(a.Given.OilAtC, referenceC))
	default:
		g.OilKg, g.OilMl, g.OilHotMl = amount.Unknown, amount.Unknown, amount.Unknown
		return
	}
	if a.Given.OilKg > 0 {
		g.OilMl, g.OilHotMl = g.Oil.Ml(g.OilKg, referenceC), g.Oil.Ml(g.OilKg, at.boils)
		return
	}
	measured := or(a.Given.OilAtC, referenceC)
	g.OilMl = g.Oil.MlAt(a.Recipe.OilML, measured, referenceC)
	g.OilHotMl = g.Oil.MlAt(a.Recipe.OilML, measured, at.boils)
}

func (a Ask) weighHerb(g *Goods) {
	kg := g.HerbKg
	g.DryKg = larder.DryEquivalent(kg, g.Water.Range)
	g.HerbWaterKg = amount.Times(g.Water.Range, kg)
	if g.Fresh {
		g.OtherKg = g.DryKg
	} else {
		g.OtherKg = larder.AsWeighed(g.DryKg.P50, larder.Water(g.Herb, true).Range)
	}
	if g.OilKg.Known() {
		g.Ratio = amount.Times(g.OilKg, 1/kg)
		g.DryRatio = amount.Propagate(func(x []float64) float64 { return x[0] / x[1] }, g.OilKg, g.DryKg)
	}
	bulk := larder.Bulk(g.Herb.Part, g.Fresh)
	g.BulkL, g.BulkFrom = amount.Times(bulk.Range, kg), bulk.Source
	if a.Given.HerbBulkML > 0 {
		g.BulkL, g.BulkFrom = amount.About(a.Given.HerbBulkML/1000, jugRel), "measured by the maker in a jug"
	}
	above := disc(a.dishInside()) * overHerbMM // l
	covers := func(x []float64) float64 {
		gaps := math.Max(0, x[0]-larder.TissueL(kg, x[1]))
		return 1000 * (gaps + above)
	}
	g.CoversMl = amount.NotBelowZero(amount.Propagate(covers, g.BulkL, g.Water.Range))
}

// dishInside is the inner diameter of the dish, mm.
func (a Ask) dishInside() float64 { return math.Max(0, a.Rig.DishOutsideDiameter-2*glassMM) }
