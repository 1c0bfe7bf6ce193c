package batch

import (
	"math"

	"bainward/rules/batch/amount"
	"bainward/rules/batch/larder"
	"bainward/rules/steam"
)

// Plan is what is to be expected of a batch. What cannot be said is an Unknown
// range, and a finding that is not evaluated says what is lacking. A Plan is not
// made to be stored: keep its Ask, and reckon again.
type Plan struct {
	Ask      Ask
	Goods    Goods
	Water    Water
	BoilsC   float64
	FloorC   float64
	Times    Times
	ComesOut ComesOut
	DrivesKg amount.Range // herb water that the hold can drive off
	DishFull amount.Range // how full the hot dish is, a share of its depth
	Findings [WarningCount]Finding
}

// Reckon makes the plan.
func Reckon(a Ask) Plan {
	at := a.Site.place()
	g, w := a.goods(at), a.water()
	b := a.bath(at, g, w)
	p := Plan{
		Ask: a, Goods: g, Water: w, BoilsC: at.boils, FloorC: b.floor,
		Times: a.times(b, w), ComesOut: a.comesOut(g), DrivesKg: a.drives(b), DishFull: a.dishFull(g),
	}
	p.Findings = p.judge()
	return p
}

// drives is the herb water, in kg, for which the hold has heat enough: the dish
// takes heat in proportion to the gap between bath and oil, and with the oil at
// its floor, the least that still counts, the gap is widest. What the room
// takes from the oil is not left for the herb.
func (a Ask) drives(b bath) amount.Range {
	if a.Rig.DishOutsideDiameter <= 0 {
		return amount.Unknown
	}
	latent := steam.LatentHeat(b.floor)
	gap, lost := b.at.boils-b.floor, float64(b.loses*(b.floor-b.at.room))
	return amount.Propagate(func(x []float64) float64 {
		return math.Max(0, float64(x[0]*gap)-lost) * b.holdS / latent
	}, amount.Times(amount.Between(dishLow, dishMid, dishHigh), a.wetted()))
}

// bubbles: herb water that leaves through the oil lifts its surface by so much
// of the depth (own estimate, no source).
func bubbles(fresh bool) amount.Range {
	if fresh {
		return amount.Between(0.03, 0.08, 0.15)
	}
	return amount.Between(0, 0.01, 0.03)
}

// dishFull is how much of the dish's depth oil, herb and bubbles fill when hot.
// The herb fills its tissue only, but it must not stand out of the dish either.
func (a Ask) dishFull(g Goods) amount.Range {
	room := disc(a.dishInside()) * a.Vessels.DishDepth // l
	if !(room > 0) || !g.OilHotMl.Known() || !g.BulkL.Known() {
		return amount.Unknown
	}
	return amount.Propagate(func(x []float64) float64 {
		liquid := (x[0]/1000 + larder.TissueL(g.HerbKg, x[1])) * (1 + x[2])
		return math.Max(liquid, x[3]) / room
	}, g.OilHotMl, g.Water.Range, bubbles(g.Fresh), g.BulkL)
}
