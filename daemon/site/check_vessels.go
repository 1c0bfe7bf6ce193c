package site

import "bainward/rules/batch"

// Ranges of what only a plan needs. Outside them somebody has written cm, grams
// or another key's number.
const (
	minPanDepth, maxPanDepth   = 20, 600 // mm
	minDishDepth, maxDishDepth = 10, 400 // mm
	minDishKg, maxDishKg       = 0.05, 20
	// A small spirit burner, and the largest burner of a trade kitchen (both from
	// memory).
	minHobW, maxHobW = 100, 6000
)

// vessels checks the sizes that a plan needs and the rules do not; each may be
// left out.
func (c *checker) vessels(path string, t bathTable) batch.Vessels {
	v := batch.Vessels{
		PanDepth:  c.within(path, "pan_depth_mm", t.PanDepth, minPanDepth, maxPanDepth),
		DishDepth: c.within(path, "dish_depth_mm", t.DishDepth, minDishDepth, maxDishDepth),
		DishKg:    c.within(path, "dish_kg", t.DishKg, minDishKg, maxDishKg),
		HobW:      c.within(path, "hob_w", t.HobW, minHobW, maxHobW),
	}
	if c.given(path+".pan_depth_mm") && t.PanDepth >= minPanDepth && t.PanDepth <= t.DishBaseHeight {
		c.addf(path+".pan_depth_mm", "pan_depth_mm = %s must be more than dish_base_height_mm = %s: the base of the dish is inside the pan",
			plain(t.PanDepth), plain(t.DishBaseHeight))
	}
	return v
}
