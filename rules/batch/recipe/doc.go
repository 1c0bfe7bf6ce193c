// Package recipe is a recipe as a person writes it, and the one place that says
// whether it can be made. Start with Check: the site file, the page and the command
// line all go through it, so that what one of them takes the others take too, with
// the same result.
//
// Written has the keys and units of a [[recipe]] of the site file, grams,
// millilitres and °C. Typed turns what stands in the fields of a form, in the units of
// the site, into it and Fields turns it back. Words says in whose terms an error
// speaks. It is part of the pure core.
//
// Limits of rules are no part of it: they are the site's, and an expert's.
package recipe
