package batch

import (
	"math"

	"bainward/rules"
	"bainward/rules/balance"
	"bainward/rules/batch/amount"
	"bainward/rules/steam"
)

// Water is what goes into the pan.
type Water struct {
	BareKg amount.Range // just wets the base of the dish when hot
	FillKg amount.Range // stands CoverMM above it when hot
	// CoverMM is how far the hot water stands above the base: with FillKg, or
	// with what the maker put in.
	CoverMM amount.Range
	PutIn   bool // CoverMM is of the maker's own fill
	Source  string
}

const (
	// hotC: a simmering bath stands a little below its boiling point.
	hotC = 97.0
	// How well the water that wets the base is known: see rules/balance, whose
	// standard deviations these are, 9 % from a ruler and 3 % from a scale. One
	// in ten is 1.28 of them away.
	rulerRel, scaleRel = 0.09 * z90, 0.03 * z90
	z90                = 1.2815515655446004
)

// panOf is the rig as rules/balance wants it.
func panOf(r rules.Rig) balance.Rig {
	return balance.Rig{
		PanDiameter: r.PanInsideDiameter / 1000, DishDiameter: r.DishOutsideDiameter / 1000,
		BaseHeight: r.DishBaseHeight / 1000, WetsBaseKg: r.WetsBaseG / 1000,
	}
}

// ring is the open water beside the dish, m²; never less than a tenth of the
// pan, as in rules/balance.
func ring(r rules.Rig) float64 {
	pan := disc(r.PanInsideDiameter)
	return math.Max(0.1*pan, pan-disc(r.DishOutsideDiameter))
}

// bare returns the water that just wets the base when hot, and where that is
// known from.
func (a Ask) bare() (kg amount.Range, source string) {
	p := a.Site.Prior
	switch {
	case p.BareKg > 0 && p.BareSD > 0:
		d := float64(z90 * p.BareSD)
		return amount.Between(math.Max(0, p.BareKg-d), p.BareKg, p.BareKg+d), "this bath's earlier batches"
	case a.Rig.WetsBaseG > 0:
		return amount.About(panOf(a.Rig).BareKg(hotC), scaleRel), "weighed once for this bath, at the density of hot water (IAPWS-IF97)"
	case a.Rig.PanInsideDiameter > 0 && a.Rig.DishBaseHeight > 0:
		return amount.About(panOf(a.Rig).BareKg(hotC), rulerRel), "pan and base by ruler, at the density of hot water (IAPWS-IF97)"
	}
	return amount.Unknown, "the sizes of pan and dish are not known"
}

// water plans the fill: up to the base the pan is a plain cylinder, above it
// only the ring beside the dish fills.
func (a Ask) water() Water {
	bare, source := a.bare()
	perMM := float64(steam.Density(hotC)*ring(a.Rig)) / 1000
	w := Water{BareKg: bare, Source: source, CoverMM: amount.Exactly(or(a.Given.CoverMM, DefaultCoverMM))}
	w.FillKg = amount.Propagate(func(x []float64) float64 { return x[0] + float64(x[1]*perMM) }, bare, w.CoverMM)
	if a.Given.FillKg > 0 && bare.Known() {
		w.PutIn = true
		over := func(x []float64) float64 { return (a.Given.FillKg - x[0]) / perMM }
		w.CoverMM = amount.Propagate(over, bare)
	}
	return w
}

// inPan is the water that the times are reckoned from, kg.
func (a Ask) inPan(w Water) float64 {
	if w.PutIn {
		return a.Given.FillKg
	}
	return w.FillKg.P50
}
