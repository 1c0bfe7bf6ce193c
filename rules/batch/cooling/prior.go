package cooling

import "bainward/rules/repeatable"

// What is held likely of a dish before it was seen; doc.go says where it comes from.
const (
	// usualS, usualSD: of the slow exponential, and the doubt of its logarithm.
	usualS, usualSD = 3900.0, 0.7
	// fastShare is the share of the first gap that falls fast. It may be below
	// nothing: of what begins slowly.
	fastShare, fastShareSD = 0.15, 0.25
	// firstSD is the doubt about the first gap, as a share of it: a probe may lag.
	firstSD = 0.2
	// probesK is by how much two probes differ, one standard deviation: ±0.5 °C each
	// (DS18B20 data sheet) as a rectangle, a√2/√3.
	probesK = 0.4
	// unreadRoomK: a room that nobody reads is usualRoomC, give or take so much (own
	// estimate).
	unreadRoomK = 2.0
)

// usual is the logarithm of how likely a slow rate is before anything was seen.
func usual(rate float64) float64 {
	off := repeatable.Log(rate*usualS) / usualSD
	return float64(-off * off / 2)
}

// belief is what is held likely of the three amplitudes of a pair: means, and
// weights, which are one over the squares of their doubts.
type belief struct{ mean, weight [3]float64 }

// believe returns the belief about a body that begins at a gap and has a slow rate.
func (p *Predictor) believe(rate float64) (b belief) {
	drift, doubt := p.air.foretold()
	behind := doubt / rate
	rest := float64(probesK*probesK) + float64(behind*behind)
	if !p.hasRoom {
		rest += float64(unreadRoomK * unreadRoomK)
	}
	first, fast := firstSD*p.start, fastShareSD*p.start
	b.mean = [3]float64{p.start, fastShare * p.start, -drift / rate}
	b.weight = [3]float64{1 / float64(first*first), 1 / float64(fast*fast), 1 / rest}
	return b
}
