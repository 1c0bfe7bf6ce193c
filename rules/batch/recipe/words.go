package recipe

import (
	"fmt"
	"math"
	"strconv"

	"bainward/rules"
)

// Words says in whose terms a problem is told: in the keys and units of the site
// file, which programs use too, or in those of the form on the page.
type Words struct {
	form  bool
	units rules.Units
}

// Keys tells problems as the site file spells them.
func Keys() Words { return Words{} }

// Form tells problems to who fills in a form in units u.
func Form(u rules.Units) Words { return Words{form: true, units: u} }

// name is what a field is called.
func (w Words) name(f Field) string {
	if !w.form {
		return string(f)
	}
	return "“" + label(f) + "”"
}

// value writes a number of a field.
func (w Words) value(f Field, v float64) string {
	if !w.form {
		return plain(v)
	}
	text := rounded(unitOf(f, w.units).from(v))
	if unit := unitOf(f, w.units).word; unit != "" {
		text += " " + unit
	}
	return text
}

// is names a field and its number. On the form the name stands beside it already.
func (w Words) is(f Field, v float64) string {
	if w.form {
		return w.name(f) + " " + w.value(f, v)
	}
	return string(f) + " = " + plain(v)
}

// says is the same for a text.
func (w Words) says(f Field, text string) string {
	if w.form {
		return fmt.Sprintf("%q", text)
	}
	return fmt.Sprintf("%s = %q", f, text)
}

// reckoned writes a temperature that nobody typed.
func (w Words) reckoned(celsius float64) string {
	if w.form {
		return w.units.Temp(celsius)
	}
	return fmt.Sprintf("%.1f", celsius)
}

func (w Words) where(elevation float64) string {
	if w.form {
		return "here"
	}
	return "at elevation_m = " + plain(elevation)
}

func (w Words) sayFresh() string {
	if w.form {
		return "say that it is fresh"
	}
	return "write fresh = true"
}

// plain writes a number as a person would type it.
func plain(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// rounded writes a number with four figures at most behind the point, and no more
// than a scale can tell: what is turned from one unit into another has a long tail.
func rounded(v float64) string {
	step := 1e4
	if math.Abs(v) >= 100 {
		step = 1e2
	}
	return strconv.FormatFloat(math.Round(v*step)/step, 'f', -1, 64)
}
