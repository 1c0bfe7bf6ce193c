package recipe

import (
	"fmt"
	"math"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"bainward/rules"
	"bainward/rules/batch"
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
	// maxName bounds the name, which stands in addresses, on pages and on labels, and
	// maxText herb and oil, which stand on labels.
	maxName, maxText = 40, 120
)

// Problem is something that is wrong with one field.
type Problem struct {
	Field Field
	Text  string // what was found and what to do, without a stop
}

// Place is where the recipe is to be made.
type Place struct {
	Known     bool // else the floor is not held against the boiling point
	Elevation float64
}

// Recipe is a recipe that can be made, complete: what the rules go by, and what was
// measured for its plan.
type Recipe struct {
	rules.Recipe
	Given batch.Given
}

// Check turns what was written into a recipe, or says all that is wrong with it, in
// the order of the fields, in the terms of words. Its result is of use only if
// nothing is.
func Check(w Written, at Place, words Words) (Recipe, []Problem) {
	c := checker{w: w, words: words}
	c.texts()
	c.ranges()
	r := Recipe{Given: c.measured()}
	r.Recipe = rules.Recipe{
		Name:              w.Name,
		Herb:              w.Herb,
		Fresh:             w.Fresh,
		HerbG:             or(w.HerbG),
		Oil:               w.Oil,
		OilML:             or(w.OilML),
		Hold:              time.Duration(or(w.HoldMin)) * time.Minute,
		Macerations:       int(or(w.Macerations)),
		FloorC:            or(w.FloorC),
		FloorBelowBoiling: or(w.FloorBelowBoiling),
		CeilingC:          or(w.CeilingC),
	}.Complete()
	if r.Given.OilKg > 0 { // the rules and the sheet speak of a volume
		r.OilML = coldMl(r.Oil, r.Given.OilKg)
	}
	c.floor(r.Recipe, at)
	return r, c.found
}

type checker struct {
	w     Written
	words Words
	found []Problem
}

func (c *checker) addf(f Field, format string, args ...any) {
	c.found = append(c.found, Problem{f, fmt.Sprintf(format, args...)})
}

// texts checks what is written in words.
func (c *checker) texts() {
	switch name := c.w.Name; {
	case name == "":
		c.addf(Name, "%s is missing: what people call this recipe", c.words.name(Name))
	case len(name) > maxName || strings.ContainsFunc(name, unfitForName):
		c.addf(Name, "%s must be at most %d letters (a-z, A-Z), digits, - and _, because it stands in addresses", c.words.says(Name, name), maxName)
	}
	for _, t := range []struct {
		field Field
		text  string
	}{{Herb, c.w.Herb}, {Oil, c.w.Oil}} {
		if !utf8.ValidString(t.text) || strings.ContainsFunc(t.text, unicode.IsControl) || utf8.RuneCountInString(t.text) > maxText {
			c.addf(t.field, "%s must be one line of at most %d characters", c.words.name(t.field), maxText)
		}
	}
}

func unfitForName(r rune) bool {
	return (r < 'a' || r > 'z') && (r < 'A' || r > 'Z') && (r < '0' || r > '9') && r != '-' && r != '_'
}

// ranges checks numbers each for itself.
func (c *checker) ranges() {
	for _, n := range []struct {
		field  Field
		lo, hi float64
	}{
		{HerbG, minAmount, maxAmount},
		{OilML, minAmount, maxAmount},
		{HoldMin, minHold, maxHold},
		{Macerations, minMacerations, maxMacerations},
		{FloorBelowBoiling, minBelow, maxBelow},
		{FloorC, minFloor, maxFloor},
		{CeilingC, minCeiling, maxCeiling},
		{OilG, minAmount, maxAmount},
		{OilMeasuredAt, minMeasured, maxMeasured},
		{HerbBulkML, minAmount, maxAmount},
	} {
		c.within(n.field, n.lo, n.hi)
	}
}

// within checks a number that may be left out.
func (c *checker) within(f Field, lo, hi float64) {
	v, given := c.value(f)
	switch {
	case !given:
	case math.IsNaN(v) || math.IsInf(v, 0):
		c.addf(f, "%s is not a number to measure with", c.words.name(f))
	case v < lo || v > hi:
		c.addf(f, "%s must be from %s to %s", c.words.is(f, v), c.words.value(f, lo), c.words.value(f, hi))
	}
}

// value returns a number, and whether it was written.
func (c *checker) value(f Field) (v float64, given bool) {
	if p := c.w.whole(f); p != nil {
		return float64(or(*p)), *p != nil
	}
	p := c.w.number(f)
	return or(*p), *p != nil
}
