package site

import "math"

// How far the weighed water may be from what the ruler says of the pan: both
// sizes a tenth off in the same direction make 0.73 to 1.33 of it, and a domed
// floor or a conical pan some more. Beyond that somebody has weighed the pan
// too, or written another bath's number.
const leastWets, mostWets = 0.6, 1.6

// wetsBase checks the weighed water that just wets the base of the dish, in
// grams, against the sizes; 0 if the file does not say.
func (c *checker) wetsBase(path string, t bathTable) float64 {
	key := path + ".wets_base_g"
	if !c.given(key) {
		return 0
	}
	ruler := ruled(t.PanInsideDiameter, t.DishBaseHeight)
	measured := t.PanInsideDiameter >= minPan && t.PanInsideDiameter <= maxPan && t.DishBaseHeight >= minBase && t.DishBaseHeight <= maxBase
	switch {
	case math.IsNaN(t.WetsBase) || math.IsInf(t.WetsBase, 0): // the outline has complained
	case t.WetsBase <= 0:
		c.addf(key, "wets_base_g = %s must be more than 0: the grams of cold water that just wet the base of the dish", plain(t.WetsBase))
	case measured && (t.WetsBase < leastWets*ruler || t.WetsBase > mostWets*ruler):
		c.addf(key, "wets_base_g = %s, but pan_inside_diameter_mm = %s and dish_base_height_mm = %s make %.0f g: weigh again or measure again",
			plain(t.WetsBase), plain(t.PanInsideDiameter), plain(t.DishBaseHeight), ruler)
	}
	return t.WetsBase
}

// ruled returns the grams of cold water in a pan of that diameter up to that
// height, both in mm, at 1 g/ml.
func ruled(diameter, height float64) float64 {
	return float64(math.Pi/4*diameter*diameter) * height / 1000
}
