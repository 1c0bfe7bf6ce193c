package repeatable

import "math"

// erfTerms are (-1)^n/(n!·(2n+1)) for n = 1 … 13: the Maclaurin series of the
// error function after its first term (Abramowitz and Stegun 7.1.5). On
// |x| ≤ 1/2 the first term left out is 5e-20 of the whole.
var erfTerms = [...]float64{
	-1.0 / 3, 1.0 / 10, -1.0 / 42, 1.0 / 216, -1.0 / 1320, 1.0 / 9360, -1.0 / 75600,
	1.0 / 685440, -1.0 / 6894720, 1.0 / 76204800, -1.0 / 918086400,
	1.0 / 11975040000, -1.0 / 168129561600,
}

const twoOverRootPi = 1.12837916709551257389615890312154517

// Erf returns the error function of x: the share of a normal distribution of
// variance 1/2 that lies within |x| of its mean, with the sign of x.
//
// Erf(NaN) = NaN, Erf(±Inf) = ±1, Erf(-x) = -Erf(x).
func Erf(x float64) float64 {
	a := math.Abs(x)
	if a >= 0.5 {
		return math.Copysign(1-Erfc(a), x)
	}
	z := float64(x * x)
	series := float64(float64(z*Polynomial(z, erfTerms[:])) * twoOverRootPi)
	return x + float64(x*((twoOverRootPi-1)+series))
}

// Erfc returns 1 - Erf(x), without loss of digits where that is small.
//
// Erfc(NaN) = NaN, Erfc(+Inf) = 0, Erfc(-Inf) = 2; above 27.23 it is 0.
func Erfc(x float64) float64 {
	switch a := math.Abs(x); {
	case math.IsNaN(x):
		return x
	case a < 0.5:
		return 1 - Erf(x)
	case a > 28 && x > 0:
		return 0
	case a > 28:
		return 2
	case x < 0:
		return 2 - tail(a, product(a, a))
	default:
		return tail(x, product(x, x))
	}
}
