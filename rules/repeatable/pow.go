package repeatable

import "math"

// Pow returns x to the power y for x ≥ 0.
//
// Pow(x, 0) = 1 and Pow(1, y) = 1 for every x and y, NaN too; Pow(x, 1) = x;
// else a NaN gives NaN. Pow(0, y) is 0 for y > 0 and +Inf for y < 0, Pow(+Inf, y)
// the other way round; Pow(x, ±Inf) is the limit. For x < 0 the result is NaN,
// even where y is a whole number: no formula of the rules needs it.
func Pow(x, y float64) float64 {
	switch {
	case y == 0 || x == 1:
		return 1
	case math.IsNaN(x) || math.IsNaN(y) || x < 0:
		return math.NaN()
	case y == 1:
		return x
	case x == 0 || x == math.Inf(1):
		if (x == 0) == (y > 0) {
			return 0
		}
		return math.Inf(1)
	}
	l := logPair(x)
	// Far outside the range of Exp the pair arithmetic itself would overflow.
	if rough := float64(y * l.hi); math.Abs(rough) > 800 {
		return expPair(pair{hi: rough})
	}
	e := product(y, l.hi)
	e.lo += float64(y * l.lo)
	return expPair(e)
}
