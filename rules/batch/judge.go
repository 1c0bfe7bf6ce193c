package batch

import (
	"math"

	"bainward/rules"
	"bainward/rules/steam"
)

const (
	// rimMM: boiling water heaves and spits; so much of the pan stays dry (own
	// estimate).
	rimMM = 15.0
	// fullShare: so much of the dish's depth may be filled, the rest is for
	// carrying it (own estimate).
	fullShare = 0.9
	// wetShare: leaves with more water than this are not wilted. Herb is left to
	// wilt for some hours or a day before it goes into oil (common practice, no
	// source).
	wetShare = 0.80
	// ringMM: less open water beside the dish takes neither a spout nor an eye.
	ringMM = 10.0
	// oftenS: water is due about every half hour (common practice, no source);
	// twice as often keeps a maker in the kitchen.
	oftenS = 900.0
	// warmC: oil measured this warm is no longer the volume of a recipe.
	warmC = 30.0
	// marcShare: a marc that keeps a third of the oil is worth pressing.
	marcShare = 1.0 / 3
	// ceilingSlackC: an uncalibrated probe may be off by 1 °C near the boiling
	// point (data sheet of the DS18B20).
	ceilingSlackC = 1.0
	// settlesBelowC: oil in a simmering bath settles 5 to 12 K below the boiling
	// point (common practice, no source); a floor nearer than that is not reached.
	settlesBelowC = 5.0
)

// judge holds every warning against the plan.
func (p *Plan) judge() (f [WarningCount]Finding) {
	p.judgeWater(&f)
	p.judgeDish(&f)
	p.judgeHeat(&f)
	p.judgeGoods(&f)
	return f
}

func (p *Plan) judgeWater(f *[WarningCount]Finding) {
	w, rig := &p.Water, p.Ask.Rig
	if !w.BareKg.Known() {
		const sizes = "the inside diameter of the pan and the height of the dish's base"
		f[FillBelowBase], f[PanOverflows], f[RingTooNarrow] = lacks(sizes), lacks(sizes), lacks(sizes)
	} else {
		f[FillBelowBase] = when(w.PutIn && p.Ask.Given.FillKg < w.BareKg.P90, p.Ask.Given.FillKg, w.BareKg.P50)
		f[RingTooNarrow] = when(rig.PanInsideDiameter-rig.DishOutsideDiameter < 2*ringMM, (rig.PanInsideDiameter-rig.DishOutsideDiameter)/2, ringMM)
		level := rig.DishBaseHeight + math.Max(0, w.CoverMM.P90)
		f[PanOverflows] = when(level > p.Ask.Vessels.PanDepth-rimMM, level, p.Ask.Vessels.PanDepth)
		if p.Ask.Vessels.PanDepth == 0 {
			f[PanOverflows] = lacks("the inside depth of the pan")
		}
	}
	f[DishFloats] = p.judgeFloats()
	f[WaterTooOften] = p.judgeOften()
}

// judgeFloats compares the water that the dish pushes aside with what dish, oil
// and herb weigh (Archimedes). Without the dish's weight only "stays down" can
// be said for certain.
func (p *Plan) judgeFloats() Finding {
	g, w := &p.Goods, &p.Water
	if !w.BareKg.Known() || !g.OilKg.Known() {
		return lacks("the sizes of pan and dish and the oil")
	}
	lifts := steam.Density(hotC) * disc(p.Ask.Rig.DishOutsideDiameter) * math.Max(0, w.CoverMM.P90) / 1000
	weighs := g.OilKg.P10 + g.HerbKg + p.Ask.Vessels.DishKg
	floats := lifts > weighs
	if floats && p.Ask.Vessels.DishKg == 0 {
		return lacks("the weight of the empty dish")
	}
	return when(floats, lifts, weighs)
}

// judgeOften looks at the time between two top-ups.
func (p *Plan) judgeOften() Finding {
	t := &p.Times
	switch {
	case !t.Boil.Known() || !t.Hold.Known():
		return lacks("the sizes of pan and dish and the oil")
	case len(t.TopUps) == 0:
		return when(false, 0, oftenS)
	case len(t.TopUps) == 1:
		apart := t.End.P50 - t.TopUps[0].P50
		return when(false, apart, oftenS)
	}
	apart := t.TopUps[1].P50 - t.TopUps[0].P50
	return when(apart < oftenS, apart, oftenS)
}

func (p *Plan) judgeDish(f *[WarningCount]Finding) {
	g := &p.Goods
	f[DishTooFull] = when(p.DishFull.P90 > fullShare, p.DishFull.P50, g.OilHotMl.P50-g.OilMl.P50)
	if !p.DishFull.Known() {
		f[DishTooFull] = lacks("the inside depth of the dish, the herb or the oil")
	}
	f[OilTooLittle] = when(g.OilMl.P50 < g.CoversMl.P50, g.OilMl.P50, g.CoversMl.P50)
	if !g.OilMl.Known() || !g.CoversMl.Known() {
		f[OilTooLittle] = lacks("the herb or the oil")
	}
	out := &p.ComesOut.Strength
	switch {
	case !g.DryKg.Known() || !g.OilKg.Known():
		f[MarcKeepsTooMuch] = lacks("the herb or the oil")
	case p.ComesOut.Why != "":
		f[MarcKeepsTooMuch] = when(true, 1, marcShare)
	default:
		f[MarcKeepsTooMuch] = when(out.MarcKg.P50 > marcShare*out.NewKg.P50, out.MarcKg.P50/out.NewKg.P50, marcShare)
	}
}

func (p *Plan) judgeHeat(f *[WarningCount]Finding) {
	r := p.Ask.Recipe
	if math.IsNaN(p.BoilsC) {
		const no = "a pressure or an elevation at which water boils"
		f[CeilingTooHigh], f[FloorTooHigh], f[NeverWarm] = lacks(no), lacks(no), lacks(no)
		return
	}
	f[CeilingTooHigh] = when(r.CeilingC > p.BoilsC+ceilingSlackC, r.CeilingC, p.BoilsC)
	f[FloorTooHigh] = when(p.FloorC > p.BoilsC-settlesBelowC, p.FloorC, p.BoilsC)
	f[NeverWarm] = when(p.Times.Boil.Known() && !p.Times.Hold.Known(), p.FloorC, p.BoilsC)
	if !p.Times.Boil.Known() {
		f[NeverWarm] = lacks("the sizes of pan and dish and the oil")
	}
}

func (p *Plan) judgeGoods(f *[WarningCount]Finding) {
	g := &p.Goods
	f[HerbTooWet] = when(g.Fresh && g.Water.P50 > wetShare, g.Water.P50, wetShare)
	f[HerbWaterTooMuch] = when(g.HerbWaterKg.P50 > p.DrivesKg.P50, g.HerbWaterKg.P50, p.DrivesKg.P50)
	if !g.HerbWaterKg.Known() || !p.DrivesKg.Known() {
		f[HerbWaterTooMuch] = lacks("the herb's weight or the dish's size")
	}
	measured := or(p.Ask.Given.OilAtC, referenceC)
	f[OilMeasuredHot] = when(measured > warmC && p.Ask.Given.OilKg == 0 && p.Ask.Recipe.OilML > 0, p.Ask.Recipe.OilML, g.OilMl.P50)
	f[HerbUnknown] = when(!g.Herb.Known, 0, 0)
	f[OilUnknown] = when(!g.Oil.Known, 0, 0)
	f[SampleImpossible] = when(g.SampleBad != "", 0, 0)
	if !p.Ask.Given.Sample.Given() {
		f[SampleImpossible] = Finding{Level: rules.Clear}
	}
}
