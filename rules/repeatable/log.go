package repeatable

import "math"

// Log returns the natural logarithm of x.
//
// Log(NaN) = NaN, Log(+Inf) = +Inf, Log(±0) = -Inf; below 0 the result is NaN.
func Log(x float64) float64 {
	switch {
	case math.IsNaN(x) || x == math.Inf(1):
		return x
	case x < 0:
		return math.NaN()
	case x == 0:
		return math.Inf(-1)
	}
	return logPair(x).hi
}

// logTerms are 1/5, 1/7, 1/9 … of the series of the inverse hyperbolic
// tangent. On |s| ≤ 0.1716 the first term left out is 1e-19 of the whole.
var logTerms = [...]float64{
	1.0 / 5, 1.0 / 7, 1.0 / 9, 1.0 / 11, 1.0 / 13, 1.0 / 15, 1.0 / 17, 1.0 / 19,
	1.0 / 21, 1.0 / 23,
}

// third is 1/3 to 107 bits: the double nearest to it, and what that lacks.
var third = pair{1.0 / 3, 0x1.5555555555555p-56}

// logPair returns the natural logarithm of a positive finite x to about 65
// bits, which Pow needs because it multiplies the error by up to 709.
//
// With x = 2^k·m and s = (m-1)/(m+1), ln x = k·ln 2 + 2·artanh s, and
// artanh s = s·(1 + z/3 + z²/5 + …), z = s² (M. Abramowitz and I. A. Stegun,
// "Handbook of Mathematical Functions", 4.1.27). The terms after z/3 are so
// small that a plain float64 holds them well enough.
func logPair(x float64) pair {
	m, k := math.Frexp(x)
	if m < math.Sqrt2/2 {
		m, k = 2*m, k-1
	}
	s := sum(m, 1).over(m - 1)
	z := s.times(s)
	rest := float64(float64(z.hi*z.hi) * Polynomial(z.hi, logTerms[:]))
	series := z.times(third).plus(pair{hi: rest})
	double := pair{2 * s.hi, 2 * s.lo}
	l := double.plus(double.times(series))
	if k == 0 {
		return l
	}
	e := float64(k)
	return pair{hi: float64(e * ln2Hi)}.plus(product(e, ln2Lo)).plus(l)
}
