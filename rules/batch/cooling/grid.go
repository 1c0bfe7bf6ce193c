package cooling

import "bainward/rules/repeatable"

// The rates stand on one ladder, each a step below the last, so that the fast
// exponential of a pair is the slow one of another, and its sums serve both.
const (
	slowCount = 40
	// A fast exponential is least to least+fastCount-1 rungs above its slow one:
	// 2.3 to 15 times as fast. The mug that was published has 6.0.
	leastRungs = 8
	fastCount  = 19
	rungs      = slowCount + leastRungs + fastCount - 1
)

const (
	// The slow exponential takes 8 min to 8 h to fall to 1/e: from a cup to a
	// covered bucket.
	shortestS, longestS = 480.0, 28800.0
	// usualS, usualSD: a free surface at 9 W/(m²·K) with 22 kg/m² of oil under
	// it at 2.1 kJ/(kg·K), glass included, falls to 1/e in 100 min; sides and
	// still warm water about it make that half or double (own estimate).
	usualS, usualSD = 4800.0, 0.8
)

// rates returns the ladder, 1/s: the slow rates from the slowest up, and the
// rungs above them.
func rates() (r [rungs]float64) {
	step := repeatable.Log(longestS/shortestS) / (slowCount - 1)
	for i := range r {
		r[i] = repeatable.Exp(step*float64(i)) / longestS
	}
	return r
}

// usual is the logarithm of how likely a slow rate is before anything was seen.
func usual(rate float64) float64 {
	off := repeatable.Log(rate*usualS) / usualSD
	return float64(-off * off / 2)
}
