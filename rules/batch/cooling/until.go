package cooling

import (
	"math"

	"bainward/rules/batch/amount"
	"bainward/rules/repeatable"
)

const (
	// BottleAboveRoomC: oil within so many °C of the room may be bottled (that
	// it is bottled at room temperature is common practice, no source).
	BottleAboveRoomC = 3.0
	// leastRel: no answer is better than this share of it: somebody opens a window.
	leastRel = 0.03
	// leastReadings: fewer do not tell one cooling from another.
	leastReadings = 3
	// negligible: a pair e^14 times less likely than the best is not asked.
	negligible = 14.0
	// missesC: by so much the gap may be off at the end, though the pair was right:
	// two exponentials leave 0.17 °C of the published mug, and a room that swings by
	// ±0.25 °C as its heating goes on and off (own estimate) adds 0.25/√2.
	missesC = 0.25
	// neverS stands for what never comes so near to the room.
	neverS = 172800.0
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
			f := p.fit(i, j, ladder)
			pairs[i*fastCount+j] = f
			if f.ln > best { // nor is it NaN, of readings that are absurd
				best = f.ln
			}
		}
	}
	var answers []answer
	for _, f := range pairs {
		if f.ln > best-negligible {
			answers = append(answers, p.answers(f, aboveC, repeatable.Exp(f.ln-best))...)
		}
	}
	return widened(quantiles(answers))
}

// answers spreads what a pair foretells as wide as its amplitudes are in doubt.
// The pair starts from the gap last seen, so that a small misfit does not shift
// the answer.
func (p *Predictor) answers(f pair, aboveC, weight float64) []answer {
	now := p.now - p.first
	falls, stays := f.parts(now)
	scale := (p.gap - stays) / falls
	if !(scale > 0 && f.amplitude[0] > f.amplitude[1]) {
		return nil // it foretells a dish that grows warmer
	}
	gap := func(t float64) float64 {
		falls, _ := f.parts(now + t)
		return float64(scale*falls) + stays
	}
	s := crossing(gap, aboveC)
	if s >= neverS {
		return []answer{{neverS, weight}}
	}
	// Near the end only the slow one is left to fall.
	doubt, left := f.doubt(now, s), aboveC-stays
	var all []answer
	for _, z := range fifths() {
		t := neverS
		if further := float64(z*doubt) / left; further < 1 {
			t = math.Min(neverS, math.Max(0, s-repeatable.Log(1-further)/f.slow))
		}
		all = append(all, answer{t, weight / 5})
	}
	return all
}

// fifths are the middles of five equal parts of the normal distribution, drawn
// apart so that they spread as it does.
func fifths() [5]float64 { return [5]float64{-1.463, -0.599, 0, 0.599, 1.463} }

// doubt is how far off the gap may be s after now, one standard deviation, if it is
// known now.
func (f pair) doubt(now, s float64) float64 {
	before, _ := f.parts(now)
	after, _ := f.parts(now + s)
	r := after / before
	was, is := f.shape(now), f.shape(now+s)
	off := f.root.forward(vector{is[0] - float64(r*was[0]), is[1] - float64(r*was[1]), 1 - r})
	return math.Sqrt(off.squared() + missesC*missesC)
}

// crossing returns when a gap has fallen to above, by halving an interval that
// holds the answer; neverS if it takes longer.
func crossing(gap func(t float64) float64, above float64) float64 {
	low, high := 0.0, 600.0
	for gap(high) > above {
		if low, high = high, 2*high; high >= neverS {
			return neverS
		}
	}
	for range 24 {
		if middle := (low + high) / 2; gap(middle) > above {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}

func widened(r amount.Range) amount.Range {
	d := float64(leastRel * r.P50)
	return amount.Between(math.Max(0, math.Min(r.P10, r.P50-d)), r.P50, math.Max(r.P90, r.P50+d))
}
