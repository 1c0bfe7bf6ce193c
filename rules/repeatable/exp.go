package repeatable

import "math"

// ln 2 in two parts. The first has 32 significant bits, so that its product
// with any binary exponent is exact; together they hold 86 bits.
const (
	ln2Hi = 0x1.62e42feep-1
	ln2Lo = 0x1.a39ef35793c7673007e5p-33
	log2E = 1.44269504088896340735992468100189214
)

// Exp returns e to the power x.
//
// Exp(NaN) = NaN, Exp(+Inf) = +Inf, Exp(-Inf) = 0; above 709.78 the result is
// +Inf, below -745.13 it is 0.
func Exp(x float64) float64 { return expPair(pair{hi: x}) }

// expTerms are 1/n! for n = 2 … 13. On |r| ≤ ln(2)/2 the first term left out
// is 4e-18.
var expTerms = [...]float64{
	1.0 / 2, 1.0 / 6, 1.0 / 24, 1.0 / 120, 1.0 / 720, 1.0 / 5040, 1.0 / 40320,
	1.0 / 362880, 1.0 / 3628800, 1.0 / 39916800, 1.0 / 479001600, 1.0 / 6227020800,
}

// expPair returns e to the power x.hi + x.lo: with x = k·ln 2 + r it is
// 2^k·e^r, and e^r comes from its Taylor series (W. J. Cody and W. Waite,
// "Software Manual for the Elementary Functions", 1980, chapter 6).
func expPair(x pair) float64 {
	switch {
	case math.IsNaN(x.hi):
		return x.hi
	case x.hi > 710:
		return math.Inf(1)
	case x.hi < -746:
		return 0
	}
	k := math.Floor(float64(x.hi*log2E) + 0.5)
	r := sum(x.hi-float64(k*ln2Hi), x.lo-float64(k*ln2Lo))
	series := Polynomial(r.hi, expTerms[:])
	// e^(hi+lo) = e^hi·(1 + lo), where lo is so small that e^hi ≈ 1 + hi will do.
	small := float64(float64(r.hi*r.hi)*series) + (r.lo + float64(r.lo*r.hi))
	return math.Ldexp(1+(r.hi+small), int(k))
}
