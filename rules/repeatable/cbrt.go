package repeatable

import "math"

// Cbrt returns the cube root of x.
//
// Cbrt(NaN) = NaN, Cbrt(±Inf) = ±Inf, Cbrt(±0) = ±0, Cbrt(-x) = -Cbrt(x).
func Cbrt(x float64) float64 {
	if x == 0 || math.IsNaN(x) || x-x != 0 {
		return x
	}
	m, e := math.Frexp(math.Abs(x))
	for e%3 != 0 { // to m in [1/8, 1), whose root lies in [1/2, 1)
		m, e = m/2, e+1
	}
	// A parabola through the roots of m = 1/8, 27/64 and 1 is within 2.5 %; each
	// step of Newton's rule doubles the digits.
	t := float64(m*(1.0982-float64(m*0.4682))) + 0.37
	for range 4 {
		square := float64(t * t)
		t -= (float64(square*t) - m) / (3 * square)
	}
	return math.Copysign(math.Ldexp(t, e/3), x)
}
