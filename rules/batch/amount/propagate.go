package amount

import "math"

// Propagate returns f of the ranges in. Each input goes to its own two ends
// while the others stay in the middle, and what that does to the result is
// added in squares, up and down apart: the law of propagation of uncertainty
// for independent inputs (JCGM 100:2008, 5.1.2) with differences in place of
// derivatives, as 5.1.3, note 2, allows.
func Propagate(f func(x []float64) float64, in ...Range) Range {
	all := PropagateAll(func(x []float64) []float64 { return []float64{f(x)} }, in...)
	return all[0]
}

// PropagateAll is Propagate for a formula with several results. A result that
// is NaN at the middle is Unknown; an end that is NaN leaves that side open:
// +Inf.
func PropagateAll(f func(x []float64) []float64, in ...Range) []Range {
	x := make([]float64, len(in))
	for i, r := range in {
		x[i] = r.P50
	}
	middle := f(x)
	down, up := make([]float64, len(middle)), make([]float64, len(middle))
	for i, r := range in {
		for _, end := range [2]float64{r.P10, r.P90} {
			x[i] = end
			for k, v := range f(x) {
				switch d := v - middle[k]; {
				case math.IsNaN(d):
					up[k] = math.Inf(1)
				case d < 0:
					down[k] += float64(d * d)
				default:
					up[k] += float64(d * d)
				}
			}
		}
		x[i] = r.P50
	}
	out := make([]Range, len(middle))
	for k, m := range middle {
		out[k] = Unknown
		if !math.IsNaN(m) {
			out[k] = Range{P10: m - math.Sqrt(down[k]), P50: m, P90: m + math.Sqrt(up[k])}
		}
	}
	return out
}
