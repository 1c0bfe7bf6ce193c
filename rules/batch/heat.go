package batch

import (
	"math"

	"bainward/rules/batch/amount"
	"bainward/rules/repeatable"
	"bainward/rules/steam"
)

// bath is a plain model of the pan for a plan: one water, one oil. Its numbers
// are those of rules/balance, where each has its reason; balance keeps them to
// itself, for while a bath runs it learns better ones.
type bath struct {
	at        place
	ringM2    float64
	follows   float64 // J/K, pan and glass that are as warm as the water
	loses     float64 // W/K from the oil to the room
	holds     float64 // J/K of oil, herb and inner glass
	floor     float64 // °C, from which the hold counts
	holdS     float64
	leadS     float64 // water is due so long before the base is bare
	herbWater float64 // kg
	bareKg    float64
	inPanKg   float64
}

const (
	steelPerArea = 15000.0 // J/(K·m²)
	glassPerArea = 9000.0
	losesPerArea = 9.0 // W/(K·m²)
	oilHeat      = 2100.0
	waterHeat    = 4200.0
	leaves       = 1.8e-4 // share of the herb's water that leaves a second, at the simmer
	lawMean      = -0.08  // ln of a pan's evaporation over Shah's law
	wallMM       = 20.0   // of the dish's side stand in the water
	airDamp      = 0.5
)

const (
	// The full heat of a hob into a pan, W: plates of 1000 to 2000 W give 74 %,
	// induction of 1200 to 2300 W gives 84 %, gas of 1 to 3 kW gives 40 % (rated
	// powers from memory; shares: figures of the US DOE, widely quoted).
	fullLow, fullMid, fullHigh = 650.0, 1100.0, 1800.0
	// hobRel: the maker's own figure for it.
	hobRel = 0.15
	// A simmer takes 10 kW/m² of the pan, give or take a third as one standard
	// deviation; the dish takes what dishLow to dishHigh W/(K·m²) of wetted glass
	// let through. Both as in rules/balance.
	simmerPerArea, simmerRel   = 10000.0, 0.33
	dishLow, dishMid, dishHigh = 66.0, 110.0, 184.0
	// A maker turns down some minutes after the boil (common practice, no source).
	turnLowS, turnS, turnHighS = 60.0, 180.0, 480.0
)

// doubts are what makes the times uncertain, in the order in which run takes
// them.
const (
	fullW = iota
	simmerW
	givesWK
	turnedS
	marginKg // water over the base at the start, more or less
	leavesRel
	doubtCount
)

func (a Ask) doubts(w Water) []amount.Range {
	full := amount.Between(fullLow, fullMid, fullHigh)
	if a.Vessels.HobW > 0 {
		full = amount.About(a.Vessels.HobW, hobRel)
	}
	in := make([]amount.Range, doubtCount)
	in[fullW] = full
	in[simmerW] = a.simmer()
	in[givesWK] = amount.Times(amount.Between(dishLow, dishMid, dishHigh), a.wetted())
	in[turnedS] = amount.Between(turnLowS, turnS, turnHighS)
	in[marginKg] = amount.Between(w.BareKg.P10-w.BareKg.P50, 0, w.BareKg.P90-w.BareKg.P50)
	in[leavesRel] = amount.Between(0.5, 1, 2)
	return in
}

// simmer is the heat after the turn-down, W.
func (a Ask) simmer() amount.Range {
	w, rel := float64(simmerPerArea*disc(a.Rig.PanInsideDiameter)), simmerRel
	if p := a.Site.Prior; p.SimmerW > 0 && p.SimmerRel > 0 {
		w, rel = p.SimmerW, p.SimmerRel
	}
	spread := repeatable.Exp(float64(z90 * rel))
	return amount.Between(w/spread, w, w*spread)
}

// wetted is the glass between bath and oil, m².
func (a Ask) wetted() float64 {
	d := a.Rig.DishOutsideDiameter
	return disc(d) + float64(math.Pi*d*wallMM/1e6)
}

func (a Ask) bath(at place, g Goods, w Water) bath {
	dish := disc(a.Rig.DishOutsideDiameter)
	r := a.Recipe.Complete()
	b := bath{
		at: at, ringM2: ring(a.Rig),
		follows: float64(steelPerArea*disc(a.Rig.PanInsideDiameter)) + float64(glassPerArea*dish),
		loses:   float64(losesPerArea * dish),
		floor:   a.floor(at), holdS: r.Hold.Seconds(), leadS: leadS,
		bareKg: w.BareKg.P50, inPanKg: a.inPan(w),
	}
	if g.HerbWaterKg.Known() {
		b.herbWater = g.HerbWaterKg.P50
	}
	b.holds = float64(g.OilKg.P50*oilHeat) + float64(glassPerArea*dish) + float64(b.herbWater*waterHeat)
	return b
}

// leadS: as the rule top-up-due, the plan calls for water eight minutes before
// the base goes bare.
const leadS = 480.0

// floor is the oil temperature from which the hold counts, °C.
func (a Ask) floor(at place) float64 {
	r := a.Recipe.Complete()
	if r.FloorC > 0 {
		return r.FloorC
	}
	return at.boils - r.FloorBelowBoiling
}

// air is what evaporates below the boil, kg/s.
func (b *bath) air(c float64) float64 {
	law := repeatable.Exp(lawMean) * steam.StillAirEvaporation(c, b.at.room, airDamp, b.at.pascal)
	return b.ringM2 * law
}
