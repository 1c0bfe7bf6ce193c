package bench

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// eventWord is an operator event: whether an amount may or must follow, and
// what hands do at it. The words are those of the design; the bench reads them
// by itself, so that a slip in the rules' reader shows.
type eventWord struct {
	takes, needs bool
	do           func(b *bath, kg float64)
}

var eventWords = map[string]eventWord{
	"fill":      {takes: true, needs: true, do: func(b *bath, kg float64) { b.pan.Pour(kg) }},
	"top-up":    {takes: true, needs: true, do: func(b *bath, kg float64) { b.pan.Pour(kg) }},
	"charge":    {takes: true, do: func(b *bath, kg float64) { b.pan.Charge(kg) }},
	"recharge":  {takes: true, do: func(b *bath, kg float64) { b.pan.Charge(kg) }},
	"light":     {do: func(b *bath, _ float64) { b.pan.SetHob(b.pan.rig.Hob.Power) }},
	"turn-down": {do: func(b *bath, _ float64) { b.pan.SetHob(b.pan.rig.Hob.Simmer) }},
	"strain":    {do: func(b *bath, _ float64) { b.pan.Strain() }},
	"bottle":    {takes: true, do: func(b *bath, _ float64) { b.pan.EmptyDish() }},
	"abandon":   {do: func(*bath, float64) {}},
}

// parseEvents reads operator events and returns what hands do at them. Events
// that are only said need no amount.
func parseEvents(text string, done bool) (func(*bath), error) {
	var deeds []func(*bath)
	for part := range strings.SplitSeq(text, ";") {
		do, err := parseEvent(strings.TrimSpace(part), done)
		if err != nil {
			return nil, err
		}
		deeds = append(deeds, do)
	}
	return func(b *bath) {
		for _, do := range deeds {
			do(b)
		}
	}, nil
}

func parseEvent(text string, done bool) (func(*bath), error) {
	word, rest, _ := strings.Cut(text, " ")
	rest = strings.TrimSpace(rest)
	if word == "note" {
		if rest == "" {
			return nil, errors.New("note: a note needs its text")
		}
		return nothing, nil
	}
	e, found := eventWords[word]
	switch {
	case !found:
		return nil, fmt.Errorf("unknown action or event %q", word)
	case rest == "" && e.needs && done:
		return nil, fmt.Errorf("%s: say how much, such as %s 0.4 kg; an event that is only said needs no amount", word, word)
	case rest == "":
		return func(b *bath) { e.do(b, 0) }, nil
	case !e.takes:
		return nil, fmt.Errorf("%s takes no quantity, found %q", word, rest)
	}
	kg, err := parseQuantity(rest)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", word, err)
	}
	return func(b *bath) { e.do(b, kg) }, nil
}

// unitKg is the mass of one unit, of water where it is a volume (0.998 kg/l, at
// 20 °C). Pound, ounce and US fluid ounce: NIST Handbook 44, appendix C.
var unitKg = map[string]float64{
	"kg": 1, "g": 1e-3, "lb": 0.45359237, "oz": 0.028349523125,
	"l": 0.998, "ml": 0.998e-3, "floz": 0.0295735295625 * 0.998,
}

// parseQuantity reads a number and a unit, in kg.
func parseQuantity(s string) (float64, error) {
	number, unit, _ := strings.Cut(s, " ")
	v, err := strconv.ParseFloat(number, 64)
	size, found := unitKg[strings.TrimSpace(unit)]
	if err != nil || !found || !(v > 0 && v*size < 1000) {
		return 0, fmt.Errorf("quantity %q: want a number, a space and a unit (kg g l ml lb oz floz)", s)
	}
	return v * size, nil
}
