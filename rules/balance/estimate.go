package balance

import "math"

// Range is an estimate with its uncertainty: one in ten below P10, half below
// P50, one in ten above P90. NaN means not known.
type Range struct {
	P10, P50, P90 float64
}

// Unknown is the Range of what cannot be said yet.
var Unknown = Range{math.NaN(), math.NaN(), math.NaN()}

// Known reports whether r says anything.
func (r Range) Known() bool { return !math.IsNaN(r.P50) }

// Estimate is what can be said of the pan at an instant.
type Estimate struct {
	WaterKg     Range // liquid water left in the pan, kg
	BoilOffKgH  Range // loss of water to the air, kg/h
	ToBareS     Range // until the dish base is bare if nothing is done, s; 0 when it is
	ToDryS      Range // until no liquid water is left, s
	HerbWaterKg Range // water the herb still holds, kg
	HerbGone    bool  // the herb has given up its water
	HeatW       Range // from the hob into the water, less what the pan's walls lose, W
	DishWPerK   Range // from the bath into the oil, W/K
	// BareSoon is the chance that the base is bare, or will be within the lead
	// time that was asked for; NaN if nothing is known.
	BareSoon float64
}

// Nothing is the Estimate before anything is known.
var Nothing = Estimate{
	Unknown, Unknown, Unknown, Unknown, Unknown, false, Unknown, Unknown, math.NaN(),
}

// z90 is the normal quantile of 0.9.
const z90 = 1.2815515655446004

// normal is the range of mean and sd, cut off at 0.
func normal(mean, sd float64) Range {
	d := float64(z90 * sd)
	return Range{math.Max(0, mean-d), math.Max(0, mean), math.Max(0, mean+d)}
}
