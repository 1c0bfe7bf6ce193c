package site

import (
	"time"

	"bainward/rules"
	"bainward/rules/steam"
)

// Ranges of a recipe. The hold is bounded by a day, the floor from below by
// what a hand-warm oil has and the ceiling from above by what no water bath
// reaches; each only catches slips such as hours for minutes or °F for °C.
const (
	minHold, maxHold               = 1, 24 * 60
	minMacerations, maxMacerations = 1, 10
	minFloor, maxFloor             = 30, 100
	minBelow, maxBelow             = 1, 60
	minCeiling, maxCeiling         = 40, 130
	minAmount, maxAmount           = 1, 100_000
)

func (c *checker) recipes(tables []recipeTable, elevation float64) []Recipe {
	seen := map[string]int{}
	recipes := make([]Recipe, 0, len(tables))
	for i, t := range tables {
		r := Recipe{Recipe: c.recipe(element("recipe", i), t, elevation, seen), Given: c.measured(element("recipe", i), t)}
		if r.Given.OilKg > 0 { // the rules and the sheet speak of a volume
			r.OilML = coldMl(r.Oil, r.Given.OilKg)
		}
		recipes = append(recipes, r)
	}
	return recipes
}

func (c *checker) recipe(path string, t recipeTable, elevation float64, seen map[string]int) rules.Recipe {
	c.name(path, t.Name, "what people call this recipe", seen)
	c.within(path, "herb_g", t.HerbG, minAmount, maxAmount)
	c.within(path, "oil_ml", t.OilML, minAmount, maxAmount)
	c.within(path, "hold_min", float64(t.HoldMin), minHold, maxHold)
	c.within(path, "macerations", float64(t.Macerations), minMacerations, maxMacerations)
	c.within(path, "floor_below_boiling_c", t.FloorBelowBoiling, minBelow, maxBelow)
	c.within(path, "floor_c", t.FloorC, minFloor, maxFloor)
	c.within(path, "oil_ceiling_c", t.CeilingC, minCeiling, maxCeiling)
	r := rules.Recipe{
		Name:              t.Name,
		Herb:              t.Herb,
		Fresh:             t.Fresh,
		HerbG:             t.HerbG,
		Oil:               t.Oil,
		OilML:             t.OilML,
		Hold:              time.Duration(t.HoldMin) * time.Minute,
		Macerations:       int(t.Macerations),
		FloorC:            t.FloorC,
		FloorBelowBoiling: t.FloorBelowBoiling,
		CeilingC:          t.CeilingC,
	}.Complete()
	c.floor(path, r, elevation)
	return r
}

// floor checks that the oil can reach the floor, and come there before the
// ceiling.
func (c *checker) floor(path string, r rules.Recipe, elevation float64) {
	fixed, below, ceiling := path+".floor_c", path+".floor_below_boiling_c", path+".oil_ceiling_c"
	if c.given(fixed) && c.given(below) {
		c.addf(fixed, "floor_c and floor_below_boiling_c exclude each other: give the floor one way")
		return
	}
	if c.given(fixed) && c.given(ceiling) && r.FloorC >= r.CeilingC {
		c.addf(fixed, "floor_c = %s must be below oil_ceiling_c = %s", plain(r.FloorC), plain(r.CeilingC))
		return
	}
	known := c.given("site.elevation_m") && elevation >= minElevation && elevation <= maxElevation
	if !known || r.FloorC > maxFloor {
		return
	}
	boiling := steam.BoilingPoint(steam.StandardPressure(elevation))
	floor := boiling - r.FloorBelowBoiling
	switch {
	case c.given(fixed) && r.FloorC >= boiling:
		c.addf(fixed, "floor_c = %s must be below %.1f, where water boils at elevation_m = %s: the oil never gets there",
			plain(r.FloorC), boiling, plain(elevation))
	case !c.given(fixed) && c.given(ceiling) && floor >= r.CeilingC:
		c.addf(ceiling, "oil_ceiling_c = %s must be above the floor, %.1f (%s below where water boils at elevation_m = %s)",
			plain(r.CeilingC), floor, plain(r.FloorBelowBoiling), plain(elevation))
	}
}
