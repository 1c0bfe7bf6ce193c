package recipe

import (
	"bainward/rules"
	"bainward/rules/steam"
)

// floor checks that the oil can reach the floor, and come there before the
// ceiling.
func (c *checker) floor(r rules.Recipe, at Place) {
	fixed, below, ceiling := c.w.FloorC != nil, c.w.FloorBelowBoiling != nil, c.w.CeilingC != nil
	if fixed && below {
		c.addf(FloorC, "%s and %s exclude each other: give the floor one way", c.words.name(FloorC), c.words.name(FloorBelowBoiling))
		return
	}
	if fixed && ceiling && r.FloorC >= r.CeilingC {
		c.addf(FloorC, "%s must be below %s", c.words.is(FloorC, r.FloorC), c.words.is(CeilingC, r.CeilingC))
		return
	}
	if !at.Known || r.FloorC > maxFloor {
		return
	}
	boiling := steam.BoilingPoint(steam.StandardPressure(at.Elevation))
	floor := boiling - r.FloorBelowBoiling
	switch {
	case fixed && r.FloorC >= boiling:
		c.addf(FloorC, "%s must be below %s, where water boils %s: the oil never gets there",
			c.words.is(FloorC, r.FloorC), c.words.reckoned(boiling), c.words.where(at.Elevation))
	case !fixed && ceiling && floor >= r.CeilingC:
		c.addf(CeilingC, "%s must be above the floor, %s (%s below where water boils %s)",
			c.words.is(CeilingC, r.CeilingC), c.words.reckoned(floor), c.words.value(FloorBelowBoiling, r.FloorBelowBoiling), c.words.where(at.Elevation))
	}
}
