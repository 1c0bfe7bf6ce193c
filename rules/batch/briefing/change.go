package briefing

import (
	"fmt"

	"bainward/rules/batch"
)

// Change is what the maker says of this batch in the place of the site file, in
// kg. 0: nobody said.
type Change struct {
	OilKg   float64
	HerbKg  float64
	WaterKg float64 // that was, or will be, put into the pan
}

// What a scale in a workshop weighs, in kg.
const (
	leastKg = 0.001
	mostKg  = 100
)

// CheckWeight says of a weight why it cannot be; nil if it can.
func CheckWeight(what string, kg float64) error {
	if kg >= leastKg && kg <= mostKg {
		return nil
	}
	return fmt.Errorf("%s of %g g: want a weight from 1 g to 100 kg (0.04 oz to 220 lb)", what, kg*1000)
}

// On returns a with the change made. What was measured of the recipe's herb
// goes with its weight.
func (c Change) On(a batch.Ask) batch.Ask {
	if c.OilKg > 0 {
		a.Given.OilKg, a.Given.OilAtC = c.OilKg, 0
	}
	if c.HerbKg > 0 {
		if was := a.Recipe.HerbG; was > 0 {
			a.Given.HerbBulkML *= c.HerbKg * 1000 / was
		} else {
			a.Given.HerbBulkML = 0
		}
		a.Recipe.HerbG = c.HerbKg * 1000
	}
	if c.WaterKg > 0 {
		a.Given.FillKg = c.WaterKg
	}
	return a
}
