package cooling

import "bainward/rules/repeatable"

// The rates stand on one ladder, each a step below the last, so that the fast
// exponential of a pair is the slow one of another, and its sums serve both.
const (
	slowCount = 72
	// A fast exponential stands so many rungs above its slow one: 2.2 to 12.6 times
	// as fast. The mug that was published has 6.0.
	leastRungs = 14
	stride     = 6
	fastCount  = 6
	rungs      = slowCount + leastRungs + stride*(fastCount-1)
	// The slow exponential takes 8 min to 8 h to fall to 1/e: from a cup to a
	// covered bucket. A rung is 6 %.
	shortestS, longestS = 480.0, 28800.0
)

// fastRung returns where on the ladder the fast exponential of a pair stands.
func fastRung(i, j int) int { return i + leastRungs + stride*j }

// rates returns the ladder, 1/s: the slow rates from the slowest up, and the
// rungs above them.
func rates() (r [rungs]float64) {
	step := repeatable.Log(longestS/shortestS) / (slowCount - 1)
	for i := range r {
		r[i] = repeatable.Exp(step*float64(i)) / longestS
	}
	return r
}
