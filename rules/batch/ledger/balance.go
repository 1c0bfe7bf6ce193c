package ledger

import (
	"fmt"
	"math"

	"bainward/rules/batch/amount"
)

// Balance sets what went into a batch against what came out of it, in kg.
// Herb, oil and what is in them count; other materials do not.
//
// The identity is InKg = OutKg + GoneKg: what is gone is the water that the hold
// drove off, and what was lost.
type Balance struct {
	InKg  *Span `json:"in_kg"`  // herb and oil; nil: not known
	OutKg *Span `json:"out_kg"` // marc, oil and poured-off water
	// GoneKg is what is in neither; HerbWaterKg how much of it the herb's water may be.
	GoneKg      *Span `json:"gone_kg"`
	HerbWaterKg *Span `json:"herb_water_kg"`

	OilOutKg    *Span   `json:"oil_out_kg"`
	BottledKg   *Span   `json:"bottled_kg"`
	UnbottledKg *Span   `json:"unbottled_kg"` // OilOutKg less BottledKg
	BottledMl   float64 `json:"bottled_ml"`   // BottledMl = LeftMl + GivenMl
	LeftMl      float64 `json:"left_ml"`
	GivenMl     float64 `json:"given_ml"`

	// Closes: the balance was reckoned, and nothing is amiss beyond the doubt of
	// what was weighed.
	Closes bool `json:"closes"`
	// Lacks says why it cannot be reckoned; Warnings what is amiss.
	Lacks    string   `json:"lacks,omitzero"`
	Warnings []string `json:"warnings"`
}

const (
	// beyond is how many times the distance from P50 to P10 or P90 a figure must
	// lie off before it is called amiss: coverage factor 2 (JCGM 100:2008, 6.3.3)
	// over the 1.2816 standard deviations at which those lie.
	beyond = 2 / 1.2815515655446004
	// What stays on dish, cloth and funnel: so many kg, and this share of all that
	// went in (own estimate, no source).
	clingsKg, clings = 0.020, 0.02
)

// above reports whether r is more than x beyond its doubt.
func above(r amount.Range, x float64) bool { return r.P50-float64(beyond*(r.P50-r.P10)) > x }

// below reports whether r is less than x beyond its doubt.
func below(r amount.Range, x float64) bool { return r.P50+float64(beyond*(r.P90-r.P50)) < x }

func (b *batch) balance() Balance {
	out := Balance{Warnings: []string{}}
	passes := b.passes()
	b.weighUp(&out, passes)
	b.bottleUp(&out, passes)
	out.Closes = out.Lacks == "" && len(out.Warnings) == 0
	return out
}

// weighUp sets the batch's weighings against each other.
func (b *batch) weighUp(out *Balance, passes []pass) {
	in, came, water := amount.Exactly(0), amount.Exactly(0), amount.Exactly(0)
	last := len(passes) - 1
	for i, p := range passes {
		oil, ok := p.oilIn()
		if i > 0 {
			oil = p.oilKg // the rest of what is in the dish came out before
		}
		marc, weighed := p.weighed[Marc]
		_, strained := p.weighed[OilOut]
		switch {
		case i == 0 && !ok:
			out.Lacks = "no oil was entered"
		case p.herbKg.P50 == 0:
			out.Lacks = fmt.Sprintf("no herb was entered for maceration %d", i+1)
		case !weighed:
			out.Lacks = fmt.Sprintf("the marc of maceration %d was not weighed", i+1)
		case i == last && !strained:
			out.Lacks = "the oil that came out was not weighed"
		}
		if out.Lacks != "" {
			return
		}
		in, came, water = plus(in, p.herbKg, oil), plus(came, marc), plus(water, p.waterKg)
		if poured, ok := p.weighed[Water]; ok {
			came = plus(came, poured)
		}
	}
	came = plus(came, passes[last].weighed[OilOut])
	gone := less(in, came)
	out.InKg, out.OutKg, out.GoneKg, out.HerbWaterKg = spanOf(in), spanOf(came), spanOf(gone), spanOf(water)
	most := water.P90 + clingsKg + float64(clings*in.P50)
	switch {
	case below(gone, 0):
		out.Warnings = append(out.Warnings, fmt.Sprintf("%.0f g more came out than went in: a weighing is wrong, or something that went in was not entered", -gone.P50*1000))
	case above(gone, most):
		out.Warnings = append(out.Warnings, fmt.Sprintf("%.0f g are missing beyond the herb's water and what clings to dish and cloth: a weighing is wrong, or something was spilt; explain it in a deviation", (gone.P50-most)*1000))
	}
}

// bottleUp sets the bottles against the oil that came out, and what is left in
// them against what was filled.
func (b *batch) bottleUp(out *Balance, passes []pass) {
	kg := amount.Exactly(0)
	oil := b.oil() // looked up once: a batch may fill hundreds of bottles
	var filled, left microlitres
	for _, o := range b.bottles {
		kg = plus(kg, o.kg(oil))
		filled += o.volume
		left += o.left
	}
	// All bottles were measured as the same oil: the doubt of its density is one
	// doubt, not many, and adds up without squares.
	if n := math.Sqrt(float64(len(b.bottles))); n > 1 {
		kg = amount.Between(kg.P50-float64(n*(kg.P50-kg.P10)), kg.P50, kg.P50+float64(n*(kg.P90-kg.P50)))
	}
	out.BottledMl, out.LeftMl, out.GivenMl = filled.ml(), left.ml(), (filled - left).ml()
	if len(b.bottles) > 0 {
		out.BottledKg = spanOf(kg)
	}
	came, weighed := passes[len(passes)-1].weighed[OilOut]
	if !weighed {
		return
	}
	out.OilOutKg = spanOf(came)
	if len(b.bottles) == 0 {
		return
	}
	rest := less(came, kg)
	out.UnbottledKg = spanOf(rest)
	if below(rest, 0) {
		out.Warnings = append(out.Warnings, fmt.Sprintf("the bottles hold %.0f g more than the oil that came out: look at what each was filled with", -rest.P50*1000))
	}
}
