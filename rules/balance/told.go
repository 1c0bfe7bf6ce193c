package balance

import (
	"math"

	"bainward/rules/repeatable"
)

// SawBare takes it that the base of the dish went bare: the oil says so.
func (s *State) SawBare() {
	const below, sd = 0.04, 0.10 // kg: it takes some minutes to show
	m, _ := s.thought.of(margin)
	s.thought.hear(margin, -below-m, square(sd))
	s.due = tellEvery
}

const (
	// coveredEvery: the oil is asked so often, s.
	coveredEvery = 300.0
	// showsS: a bare base shows in the oil within so long, s, nine times in ten.
	showsS = 600.0
	// unbelieved: what is thought so unlikely is not heard at all: rather the
	// sag did not show than that everything else is wrong.
	unbelieved = 0.05
)

// SawCovered takes it that the base was still in the water ten minutes ago: a
// bare one would show in the oil by now. What is left of the thought is a normal
// distribution with its lower end cut off; mean and variance of that are text
// book (Johnson, Kotz and Balakrishnan, section 10.1, from memory).
func (s *State) SawCovered() {
	if !s.told || s.now-s.covered < coveredEvery {
		return
	}
	s.covered = s.now
	t := &s.thought
	mean, v := t.of(margin)
	sd := math.Sqrt(v)
	spent := float64(s.est.BoilOffKgH.P50 * showsS / 3600)
	if s.now-s.stirred < showsS {
		return
	}
	below := -(mean + spent) / sd // the cut, in standard deviations
	left := repeatable.Phi(-below)
	if left < unbelieved || left > 0.98 {
		return
	}
	const perSD = 0.3989422804014327 // 1/√(2π)
	shift := perSD * repeatable.Exp(-float64(below*below)/2) / left
	keeps := 1 + float64(below*shift) - float64(shift*shift)
	t.mould(margin, float64(sd*shift), keeps)
	s.due = tellEvery
}

// Learned returns what this maceration taught about the bath, for the next one.
// It holds what was known before, too: a prior is not to be weighed against the
// same ruler twice.
func (s *State) Learned(rig Rig) Prior {
	if !s.has || !s.turned || s.boiled == 0 {
		return rig.Prior
	}
	t := &s.thought
	ruler := rig.BareKg(97)
	return Prior{
		BareKg:    rounded(math.Max(0.6*ruler, math.Min(1.6*ruler, t.x[toWet])), 1e3),
		BareSD:    rounded(quadrature(t.sd(toWet), putBackRel*t.x[toWet]), 1e3),
		SimmerW:   rounded(math.Max(20, s.est.HeatW.P50), 1),
		SimmerRel: rounded(quadrature(t.sd(hob), knobRel), 1e2),
	}
}

const (
	// putBackRel: the dish never stands quite as it stood.
	putBackRel = 0.01
	// knobRel: the same hand finds the same simmer again to about so much
	// (common practice, no source).
	knobRel = 0.2
)

// rounded keeps one part in per: the record holds what means something.
func rounded(x, per float64) float64 { return math.Round(x*per) / per }
