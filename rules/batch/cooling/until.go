package cooling

import (
	"cmp"
	"math"
	"slices"

	"bainward/rules/batch/amount"
	"bainward/rules/repeatable"
)

const (
	// BottleAboveRoomC: oil within so many °C of the room may be bottled (that
	// it is bottled at room temperature is common practice, no source).
	BottleAboveRoomC = 3.0
	// leastRel: no answer is better than a twentieth: the room changes, somebody
	// opens a window.
	leastRel = 0.05
	// leastReadings: fewer do not tell one cooling from another.
	leastReadings = 3
)

// Until returns the seconds from the last reading until the oil stands no more
// than aboveC over the room; 0 if it does already, Unknown while too little has
// been seen.
func (p *Predictor) Until(aboveC float64) amount.Range {
	if !p.begun || !(aboveC > 0) {
		return amount.Unknown
	}
	if p.gap <= aboveC {
		return amount.Exactly(0)
	}
	if p.n < leastReadings {
		return amount.Unknown
	}
	ladder := rates()
	var pairs [slowCount * fastCount]pair
	best := math.Inf(-1)
	for i := range slowCount {
		for j := range fastCount {
			f := p.fit(i, j)
			f.slow, f.fast = ladder[i], ladder[i+leastRungs+j]
			f.ln = usual(f.slow) - usualShare(f.a, f.b) - f.rss/(2*noiseC*noiseC)
			pairs[i*fastCount+j] = f
			best = math.Max(best, f.ln)
		}
	}
	var answers []answer
	for _, f := range pairs {
		if f.ln > best-negligible {
			answers = append(answers, answer{p.when(f, aboveC), repeatable.Exp(f.ln - best)})
		}
	}
	return widened(quantiles(answers))
}

// negligible: a pair e^14 times less likely than the best is not asked.
const negligible = 14.0

// pair is the best that one pair of exponentials can do: its amplitudes, the
// sum of squares that they leave, and the logarithm of how likely it is.
type pair struct{ slow, fast, a, b, rss, ln float64 }

// fit returns the amplitudes of least squares and the sum of squares that they
// leave. One that would be negative is left out.
func (p *Predictor) fit(i, j int) pair {
	k := i + leastRungs + j
	uu, uv, vv, uy, vy := p.uu[i], p.uv[i][j], p.uu[k], p.uy[i], p.uy[k]
	var a, b float64
	if d := float64(uu*vv) - float64(uv*uv); d > 1e-9*uu*vv {
		a = (float64(uy*vv) - float64(vy*uv)) / d
		b = (float64(vy*uu) - float64(uy*uv)) / d
	}
	switch {
	case a > 0 && b >= 0:
	case a > 0 || b <= 0:
		a, b = uy/uu, 0
	default:
		a, b = 0, vy/vv
	}
	rss := p.yy - float64(2*a*uy) - float64(2*b*vy) +
		float64(a*a*uu) + float64(2*a*b*uv) + float64(b*b*vv)
	return pair{a: a, b: b, rss: math.Max(0, rss)}
}

// usualShare is how unlikely it is, as minus a logarithm, that the fast
// exponential has its share: about a quarter, give or take as much (the mug has
// a third; a bare oil, which gives off no vapour, less).
func usualShare(a, b float64) float64 {
	if !(a+b > 0) {
		return math.Inf(1)
	}
	off := (b/(a+b) - 0.25) / 0.25
	return float64(off * off / 2)
}

// when returns the seconds until the gap of the pair has fallen to aboveC, by
// halving an interval that holds the answer. The pair starts from the gap last
// seen, so that a small misfit does not shift the answer.
func (p *Predictor) when(f pair, aboveC float64) float64 {
	t := p.now - p.first
	u, v := float64(f.a*fall(f.slow, t)), float64(f.b*fall(f.fast, t))
	scale := p.gap / (u + v)
	u, v = u*scale, v*scale
	low, high := 0.0, repeatable.Log(p.gap/aboveC)/f.slow
	for range 30 {
		middle := (low + high) / 2
		if float64(u*fall(f.slow, middle))+float64(v*fall(f.fast, middle)) > aboveC {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}

// answer is a time in s and how much it weighs.
type answer struct{ s, weight float64 }

// quantiles returns where a tenth, half and nine tenths of the weight lie.
func quantiles(all []answer) amount.Range {
	if len(all) == 0 {
		return amount.Unknown
	}
	slices.SortFunc(all, func(a, b answer) int {
		return cmp.Or(cmp.Compare(a.s, b.s), cmp.Compare(a.weight, b.weight))
	})
	whole := 0.0
	for _, a := range all {
		whole += a.weight
	}
	return amount.Between(quantile(all, float64(0.1*whole)), quantile(all, float64(0.5*whole)), quantile(all, float64(0.9*whole)))
}

// quantile walks the answers to the weight at. Each stands in the middle of its
// own weight; between two it goes straight.
func quantile(all []answer, at float64) float64 {
	sum, last, reached := 0.0, all[0].s, 0.0
	for _, a := range all {
		middle := sum + float64(a.weight/2)
		if middle >= at {
			part := (at - reached) / (middle - reached)
			return last + float64(part*(a.s-last))
		}
		last, reached = a.s, middle
		sum += a.weight
	}
	return last
}

func widened(r amount.Range) amount.Range {
	d := float64(leastRel * r.P50)
	return amount.Between(math.Max(0, math.Min(r.P10, r.P50-d)), r.P50, math.Max(r.P90, r.P50+d))
}
