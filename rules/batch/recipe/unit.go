package recipe

import (
	"math"
	"strings"

	"bainward/rules"
	"bainward/rules/batch/amount"
)

// unit is in what a number of the form is typed: typed*times + plus is what is kept.
type unit struct {
	word  string // beside the field: "g", "fl oz"
	key   string // at the end of the form's name: "g", "floz"
	times float64
	plus  float64
}

// into returns what is kept of a number that was typed. Where it is turned into
// another unit it is rounded to a millionth, so that 212 °F are 100 °C.
func (u unit) into(typed float64) float64 {
	if u.times == 1 {
		return typed
	}
	return math.Round((float64(typed*u.times)+u.plus)*1e6) / 1e6
}

// from returns what is to be typed for what is kept.
func (u unit) from(kept float64) float64 { return (kept - u.plus) / u.times }

// unitOf is the unit of a field where people read in u.
func unitOf(f Field, u rules.Units) unit {
	us := u == rules.US
	switch {
	case f == HoldMin:
		return unit{word: "min", key: "min", times: 1}
	case strings.HasSuffix(string(f), "_g") && us:
		return unit{"oz", "oz", amount.KgPerOunce * 1000, 0}
	case strings.HasSuffix(string(f), "_g"):
		return unit{"g", "g", 1, 0}
	case strings.HasSuffix(string(f), "_ml") && us:
		return unit{"fl oz", "floz", amount.MlPerFlOz, 0}
	case strings.HasSuffix(string(f), "_ml"):
		return unit{"ml", "ml", 1, 0}
	case f == FloorBelowBoiling && us:
		return unit{"°F", "f", 1 / 1.8, 0}
	case strings.HasSuffix(string(f), "_c") && us:
		return unit{"°F", "f", 1 / 1.8, -32 / 1.8}
	case strings.HasSuffix(string(f), "_c"):
		return unit{"°C", "c", 1, 0}
	}
	return unit{times: 1}
}

// formName is a field's name in a form: the site file's key, with the unit in which
// it is typed at its end.
func formName(f Field, u rules.Units) string {
	un := unitOf(f, u)
	if un.key == "" {
		return string(f)
	}
	base := string(f)
	return base[:strings.LastIndexByte(base, '_')+1] + un.key
}
