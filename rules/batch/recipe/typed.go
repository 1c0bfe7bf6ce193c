package recipe

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"bainward/rules"
)

// Typed turns what was typed into a form where people read in u, by the names of the
// form, into what is kept. problems are what cannot be read as what the field wants; a
// field that has one is written as no number, so that Check knows that something was
// meant to stand there.
func Typed(typed map[string]string, u rules.Units) (w Written, problems []Problem) {
	get := func(f Field) string { return strings.TrimSpace(typed[formName(f, u)]) }
	w = Written{Name: get(Name), Herb: get(Herb), Fresh: get(Fresh) == "fresh", Oil: get(Oil)}
	if word := get(Press); word != "" {
		w.Press = &word
	}
	if get(SampleOven) == "oven" {
		oven := true
		w.SampleOven = &oven
	}
	for _, in := range form() {
		word := get(in.Field)
		if word == "" {
			continue
		}
		switch in.Kind {
		case Number:
			v, err := strconv.ParseFloat(strings.Replace(word, ",", ".", 1), 64) // a decimal comma, as many phones offer
			if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
				problems = append(problems, Problem{in.Field, strconv.Quote(word) + " is no number: write one, such as 220 or 7.5"})
				v = math.NaN()
			}
			v = unitOf(in.Field, u).into(v)
			*w.number(in.Field) = &v
		case Whole:
			n, err := strconv.ParseInt(word, 10, 32)
			if err != nil {
				problems = append(problems, Problem{in.Field, strconv.Quote(word) + " is no whole number: write one, such as 2"})
				continue
			}
			*w.whole(in.Field) = &n
		}
	}
	return w, problems
}

// First joins problems so that at most one is told of a field: the first, on which the
// others may only follow.
func First(all ...[]Problem) (first []Problem) {
	for _, p := range slices.Concat(all...) {
		if !slices.ContainsFunc(first, func(q Problem) bool { return q.Field == p.Field }) {
			first = append(first, p)
		}
	}
	return first
}

// Values is what stands in a form that offers w where people read in u.
func Values(w Written, u rules.Units) map[string]string {
	values := map[string]string{
		formName(Name, u): w.Name, formName(Herb, u): w.Herb, formName(Oil, u): w.Oil,
		formName(Fresh, u): "dried", formName(SampleOven, u): "air", formName(Press, u): "none",
	}
	if w.Fresh {
		values[formName(Fresh, u)] = "fresh"
	}
	if or(w.SampleOven) {
		values[formName(SampleOven, u)] = "oven"
	}
	if w.Press != nil {
		values[formName(Press, u)] = *w.Press
	}
	for _, in := range form() {
		name := formName(in.Field, u)
		if p := w.number(in.Field); p != nil && *p != nil {
			values[name] = typedNumber(unitOf(in.Field, u), **p)
		}
		if p := w.whole(in.Field); p != nil && *p != nil {
			values[name] = strconv.FormatInt(**p, 10)
		}
	}
	return values
}

// typedNumber writes what is kept as it would be typed.
func typedNumber(u unit, kept float64) string {
	if u.times == 1 {
		return strconv.FormatFloat(kept, 'f', -1, 64)
	}
	return rounded(u.from(kept))
}

// Weighing returns w for so much herb and oil, in kg; 0 leaves what it says. What was
// measured of the herb goes with its weight, as in a plan.
func (w Written) Weighing(herbKg, oilKg float64) Written {
	if oilKg > 0 {
		g := grams(oilKg)
		w.OilG, w.OilML, w.OilMeasuredAt = &g, nil, nil
	}
	if herbKg > 0 {
		g := grams(herbKg)
		if was := or(w.HerbG); w.HerbBulkML != nil && was > 0 {
			bulk := math.Round(*w.HerbBulkML * g / was)
			w.HerbBulkML = &bulk
		} else {
			w.HerbBulkML = nil
		}
		w.HerbG = &g
	}
	return w
}

// grams are kg without the dust of binary fractions: a scale shows no less.
func grams(kg float64) float64 { return math.Round(kg*1e7) / 1e4 }
