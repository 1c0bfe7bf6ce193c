package amount

import (
	"math"

	"bainward/rules/balance"
)

// Range is a figure with its uncertainty, the same as in rules/balance.
type Range = balance.Range

// Unknown is the Range of what cannot be said.
var Unknown = Range{P10: math.NaN(), P50: math.NaN(), P90: math.NaN()}

// Exactly returns the Range of a figure without doubt.
func Exactly(x float64) Range { return Range{P10: x, P50: x, P90: x} }

// Between returns the Range from low over likely to high.
func Between(low, likely, high float64) Range { return Range{P10: low, P50: likely, P90: high} }

// About returns the Range of x give or take a share rel of it.
func About(x, rel float64) Range {
	return Range{P10: x - float64(x*rel), P50: x, P90: x + float64(x*rel)}
}

// Times returns r in another unit, or f times as much of it.
func Times(r Range, f float64) Range {
	a, b := r.P10*f, r.P90*f
	return Range{P10: math.Min(a, b), P50: r.P50 * f, P90: math.Max(a, b)}
}

// NotBelowZero cuts r off at 0: doubts added in squares may lead below it, and
// there is no oil below nothing.
func NotBelowZero(r Range) Range {
	return Range{P10: math.Max(0, r.P10), P50: math.Max(0, r.P50), P90: math.Max(0, r.P90)}
}
