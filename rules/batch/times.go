package batch

import (
	"math"

	"bainward/rules/batch/amount"
	"bainward/rules/repeatable"
	"bainward/rules/steam"
)

// Times are when things are to be expected, in s from the lighting of the heat.
// A P90 of +Inf says that it may not come at all.
type Times struct {
	Boil   amount.Range
	Hold   amount.Range   // the oil is at its floor
	TopUps []amount.Range // water is due, up to the end
	End    amount.Range   // of the first maceration
	All    amount.Range   // of all macerations
}

const (
	stepS = 10.0
	// lastS: a bath that takes longer does not get there.
	lastS = 8 * 3600.0
	// restS: nobody pours more often.
	restS = 300.0
	// To strain, to chop and to charge again: half an hour, or twice that
	// (common practice, no source). The bath stays hot meanwhile.
	againLowS, againS, againHighS = 900.0, 1800.0, 3600.0
	// reheatShare: the oil is still warm, so the way to the floor is about half
	// as long as the first time (own estimate).
	reheatShare = 0.5
)

// run lets one bath go with the doubts at x: when it boils, when the hold
// begins, when it ends, and then when water is due. What does not come within
// lastS is NaN.
type run struct {
	b          *bath
	x          []float64
	water, oil float64 // °C
	pan        float64 // water in the pan, kg
	herb       float64 // water left in the herb, kg
	boil, hold float64 // s; NaN until then
	dues       []float64
	latent     float64 // J/kg
	least      float64 // kg/s that evaporate at the simmer whatever the heat
}

func (b *bath) run(x []float64, dues int) *run {
	r := &run{
		b: b, x: x, water: b.at.tap, oil: b.at.room, pan: b.inPanKg - x[marginKg], herb: b.herbWater,
		boil: math.NaN(), hold: math.NaN(), latent: steam.LatentHeat(b.at.boils),
	}
	r.least = b.air(b.at.boils-2) / 2
	for t := 0.0; t < lastS; t += stepS {
		r.step(t)
		if !math.IsNaN(r.hold) && !math.IsNaN(r.boil) && len(r.dues) >= dues && t > r.hold+b.holdS {
			break
		}
	}
	return r
}

// step lets stepS pass from t on.
func (r *run) step(t float64) {
	dish := float64(r.x[givesWK] * (r.water - r.oil))
	r.warmOil(dish)
	if math.IsNaN(r.hold) && r.oil >= r.b.floor {
		r.hold = t + stepS
	}
	if math.IsNaN(r.boil) {
		air := r.b.air(r.water)
		takes := float64(steam.HeatCapacity(r.water)*math.Max(0, r.pan)) + r.b.follows
		r.water += float64((r.x[fullW] - dish - float64(air*r.latent)) / takes * stepS)
		r.pan -= float64(air * stepS)
		if r.water >= r.b.at.boils {
			r.water, r.boil = r.b.at.boils, t+stepS
		}
		return
	}
	heat := r.x[simmerW]
	if t < r.boil+r.x[turnedS] {
		heat = r.x[fullW]
	}
	r.boilOff(t, heat-dish)
}

// boilOff spends watts on the plateau, and fills the pan up when water is due.
func (r *run) boilOff(t, watts float64) {
	loss := math.Max(watts/r.latent, r.least)
	r.pan -= float64(loss * stepS)
	rests := len(r.dues) > 0 && t-r.dues[len(r.dues)-1] < restS
	if !rests && r.pan-float64(loss*r.b.leadS) < r.b.bareKg {
		r.dues = append(r.dues, t+stepS)
		r.pan = math.Max(r.pan, r.b.inPanKg) // whoever pours sees the base
	}
}

// warmOil lets the dish take heat, lose some to the room and spend some on the
// herb's water, which leaves with its vapour pressure (rules/balance, dish.go).
func (r *run) warmOil(dish float64) {
	rate := r.herb * leaves * r.x[leavesRel] * repeatable.Exp(float64((r.oil-r.b.at.boils+10)*0.045))
	lost := float64(r.b.loses * (r.oil - r.b.at.room))
	r.oil += float64((dish - lost - float64(rate*r.latent)) / r.b.holds * stepS)
	r.herb -= float64(rate * stepS)
}

// times plays the bath in the middle and at the ends of each doubt.
func (a Ask) times(b bath, w Water) Times {
	unknown := Times{Boil: amount.Unknown, Hold: amount.Unknown, End: amount.Unknown, All: amount.Unknown}
	if !w.BareKg.Known() || math.IsNaN(b.holds) || a.Rig.DishOutsideDiameter <= 0 {
		return unknown
	}
	in := a.doubts(w)
	x := make([]float64, len(in))
	for i, r := range in {
		x[i] = r.P50
	}
	first := b.run(x, 0)
	n := 0
	for _, due := range first.dues {
		if due < first.hold+b.holdS {
			n++
		}
	}
	f := amount.PropagateAll(func(x []float64) []float64 { return b.run(x, n).logs(n) }, in...)
	for i, ln := range f {
		f[i] = amount.Between(repeatable.Exp(ln.P10), repeatable.Exp(ln.P50), repeatable.Exp(ln.P90))
	}
	t := Times{Boil: f[0], Hold: f[1], End: shifted(f[1], b.holdS), TopUps: f[2:]}
	t.All = a.all(t)
	return t
}

// logs lists the logarithms of boil, hold, and n times at which water is due:
// doubt makes a time so many times longer or shorter, never negative.
func (r *run) logs(n int) []float64 {
	out := []float64{repeatable.Log(r.boil), repeatable.Log(r.hold)}
	for i := range n {
		due := math.NaN()
		if i < len(r.dues) {
			due = r.dues[i]
		}
		out = append(out, repeatable.Log(due))
	}
	return out
}

// all is the end of the last maceration.
func (a Ask) all(t Times) amount.Range {
	r := a.Recipe.Complete()
	n := float64(r.Macerations - 1)
	return amount.Propagate(func(x []float64) float64 {
		return x[0] + float64(n*(x[1]+float64(reheatShare*t.Hold.P50)+r.Hold.Seconds()))
	}, t.End, amount.Between(againLowS, againS, againHighS))
}

func shifted(r amount.Range, by float64) amount.Range {
	return amount.Between(r.P10+by, r.P50+by, r.P90+by)
}
