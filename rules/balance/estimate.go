// Package balance estimates what is happening in the pan: how much water is
// left, how fast it boils off, when the dish base will be bare, and how much
// water the herb still holds, each with its uncertainty.
//
// It is part of the pure core: values in, values out.
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
}

// Nothing is the Estimate before anything is known.
var Nothing = Estimate{Unknown, Unknown, Unknown, Unknown, Unknown, false}
