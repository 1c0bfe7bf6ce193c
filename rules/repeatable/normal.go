package repeatable

import "math"

// Phi returns the share of a standard normal distribution that lies below x.
// The lower tail keeps its digits down to the smallest float64, near -38.5.
//
// Phi(NaN) = NaN, Phi(-Inf) = 0, Phi(+Inf) = 1.
func Phi(x float64) float64 {
	a := math.Abs(x) * (1 / math.Sqrt2)
	switch {
	case math.IsNaN(x):
		return x
	case a < 0.5:
		return 0.5 + float64(0.5*Erf(x/math.Sqrt2))
	case a > 28 && x > 0:
		return 1
	case a > 28:
		return 0
	}
	// Half the square of x itself: that of the rounded a would be off.
	half := product(x, x)
	half.hi, half.lo = float64(half.hi/2), float64(half.lo/2)
	if x < 0 {
		return tail(a, half) / 2
	}
	return 1 - float64(tail(a, half)/2)
}

// Quantile returns the x below which the share p of a standard normal
// distribution lies: the inverse of Phi. Its relative error is below 1e-15.
//
// Quantile(0) = -Inf, Quantile(1) = +Inf; outside 0 … 1, and for NaN, it is NaN.
//
// Source: M. J. Wichura, "Algorithm AS 241: The percentage points of the normal
// distribution", Applied Statistics 37 (1988) 477-484, function PPND16.
func Quantile(p float64) float64 {
	switch {
	case math.IsNaN(p) || p < 0 || p > 1:
		return math.NaN()
	case p == 0:
		return math.Inf(-1)
	case p == 1:
		return math.Inf(1)
	}
	q := p - 0.5
	if math.Abs(q) <= 0.425 {
		r := 0.180625 - float64(q*q)
		return q * Polynomial(r, centreUpper[:]) / Polynomial(r, centreLower[:])
	}
	r := math.Sqrt(-Log(math.Min(p, 1-p)))
	var x float64
	if r <= 5 {
		x = Polynomial(r-1.6, shoulderUpper[:]) / Polynomial(r-1.6, shoulderLower[:])
	} else {
		x = Polynomial(r-5, tailUpper[:]) / Polynomial(r-5, tailLower[:])
	}
	return math.Copysign(x, q)
}

// The coefficients of AS 241, lowest power first.
var (
	centreUpper = [...]float64{
		3.3871328727963666080e0, 1.3314166789178437745e2, 1.9715909503065514427e3,
		1.3731693765509461125e4, 4.5921953931549871457e4, 6.7265770927008700853e4,
		3.3430575583588128105e4, 2.5090809287301226727e3,
	}
	centreLower = [...]float64{
		1, 4.2313330701600911252e1, 6.8718700749205790830e2, 5.3941960214247511077e3,
		2.1213794301586595867e4, 3.9307895800092710610e4, 2.8729085735721942674e4,
		5.2264952788528545610e3,
	}
	shoulderUpper = [...]float64{
		1.42343711074968357734e0, 4.63033784615654529590e0, 5.76949722146069140550e0,
		3.64784832476320460504e0, 1.27045825245236838258e0, 2.41780725177450611770e-1,
		2.27238449892691845833e-2, 7.74545014278341407640e-4,
	}
	shoulderLower = [...]float64{
		1, 2.05319162663775882187e0, 1.67638483018380384940e0, 6.89767334985100004550e-1,
		1.48103976427480074590e-1, 1.51986665636164571966e-2, 5.47593808499534494600e-4,
		1.05075007164441684324e-9,
	}
	tailUpper = [...]float64{
		6.65790464350110377720e0, 5.46378491116411436990e0, 1.78482653991729133580e0,
		2.96560571828504891230e-1, 2.65321895265761230930e-2, 1.24266094738807843860e-3,
		2.71155556874348757815e-5, 2.01033439929228813265e-7,
	}
	tailLower = [...]float64{
		1, 5.99832206555887937690e-1, 1.36929880922735805310e-1, 1.48753612908506148525e-2,
		7.86869131145613259100e-4, 1.84631831751005468180e-5, 1.42151175831644588870e-7,
		2.04426310338993978564e-15,
	}
)
