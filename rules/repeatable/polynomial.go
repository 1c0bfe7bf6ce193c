package repeatable

// Polynomial returns c[0] + c[1]·x + c[2]·x² + … by Horner's rule.
func Polynomial(x float64, c []float64) float64 {
	var y float64
	for i := len(c) - 1; i >= 0; i-- {
		y = float64(y*x) + c[i]
	}
	return y
}

// chebyshev returns c[0] + c[1]·T1(u) + c[2]·T2(u) + … by the recurrence of
// C. W. Clenshaw, "A note on the summation of Chebyshev series", Math. Tables
// Aids Comput. 9 (1955) 118-120.
func chebyshev(u float64, c []float64) float64 {
	var b, before float64
	for i := len(c) - 1; i > 0; i-- {
		b, before = float64(2*u*b)+(c[i]-before), b
	}
	return float64(u*b) + (c[0] - before)
}
