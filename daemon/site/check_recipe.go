package site

import (
	"slices"

	"bainward/rules/batch/recipe"
)

// recipes checks what the file writes down of recipes. Whether one can be made is
// for rules/batch/recipe to say, for all who write recipes; here its problems get
// their line, and names are held against each other.
func (c *checker) recipes(tables []recipeTable, elevation float64) []Recipe {
	seen := map[string]int{}
	recipes := make([]Recipe, 0, len(tables))
	place := recipe.Place{
		Known:     c.given("site.elevation_m") && elevation >= minElevation && elevation <= maxElevation,
		Elevation: elevation,
	}
	for i, t := range tables {
		path := element("recipe", i)
		written := c.written(path, t)
		made, problems := recipe.Check(written, place, recipe.Keys())
		for _, p := range problems {
			if key := join(path, string(p.Field)); !c.isOdd(key) { // that was said already
				c.addf(key, "%s", p.Text)
			}
		}
		if !contains(problems, recipe.Name) {
			c.unique(path, t.Name, seen)
		}
		recipes = append(recipes, Recipe{Recipe: made.Recipe, Given: made.Given, Written: written})
	}
	return recipes
}

func contains(problems []recipe.Problem, f recipe.Field) bool {
	return slices.ContainsFunc(problems, func(p recipe.Problem) bool { return p.Field == f })
}

// written is a table as it stands in the file: what was left out is not there.
func (c *checker) written(path string, t recipeTable) recipe.Written {
	number := func(key recipe.Field, v float64) *float64 { return given(c, path, key, v) }
	return recipe.Written{
		Name: t.Name, Herb: t.Herb, Fresh: t.Fresh, Oil: t.Oil,
		HerbG:             number(recipe.HerbG, t.HerbG),
		OilML:             number(recipe.OilML, t.OilML),
		OilG:              number(recipe.OilG, t.OilG),
		OilMeasuredAt:     number(recipe.OilMeasuredAt, t.OilMeasuredAt),
		HerbBulkML:        number(recipe.HerbBulkML, t.HerbBulkML),
		SampleFreshG:      number(recipe.SampleFreshG, t.SampleFreshG),
		SampleDriedG:      number(recipe.SampleDriedG, t.SampleDriedG),
		SampleOven:        given(c, path, recipe.SampleOven, t.SampleOven),
		Press:             given(c, path, recipe.Press, t.Press),
		HoldMin:           given(c, path, recipe.HoldMin, t.HoldMin),
		Macerations:       given(c, path, recipe.Macerations, t.Macerations),
		FloorBelowBoiling: number(recipe.FloorBelowBoiling, t.FloorBelowBoiling),
		FloorC:            number(recipe.FloorC, t.FloorC),
		CeilingC:          number(recipe.CeilingC, t.CeilingC),
	}
}

// given returns a value if the file has its key.
func given[T any](c *checker, path string, key recipe.Field, v T) *T {
	if !c.given(join(path, string(key))) {
		return nil
	}
	return &v
}

// isOdd reports whether the outline has complained of the key at path.
func (c *checker) isOdd(path string) bool {
	return slices.ContainsFunc(c.outline.odd, func(o oddity) bool { return o.path == path })
}
