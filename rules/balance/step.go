package balance

import (
	"math"

	"bainward/rules/steam"
)

func quadrature(a, b float64) float64 { return math.Sqrt(float64(a*a) + float64(b*b)) }

// Step follows the pan over one instant.
func (s *State) Step(rig Rig, v Sight) {
	if math.IsNaN(v.Bath) {
		return
	}
	bare := rig.BareKg(v.Bath)
	if !s.known && s.sd == 0 {
		s.kg, s.sd = bare+unsaidAbove, unsaidSD
	}
	if math.IsNaN(v.Room) {
		v.Room = 20
	}
	atBoil := v.Bath >= v.Boiling-nearBoil
	s.learn(v, atBoil)
	rate, rel := s.loss(rig, v, atBoil) // kg/s
	s.kg = math.Max(0, s.kg-float64(rate*v.Seconds))
	// The error of the rate is one error all along, so it adds up straight.
	s.sd += float64(rate * rel * v.Seconds)
	s.describe(bare, rate, rel)
}

// learn takes the heat of the hob from the climb of the bath.
func (s *State) learn(v Sight, atBoil bool) {
	if !v.Lit || math.IsNaN(v.BathSlope) || atBoil || v.BathSlope < 0.02 {
		return
	}
	capacity := float64(s.kg*steam.HeatCapacity(v.Bath)) + panCapacity
	heat := float64(capacity * v.BathSlope)
	if !math.IsNaN(v.Oil) {
		heat += float64(dishW * math.Max(0, v.Bath-v.Oil))
	}
	if s.ramp == 0 {
		s.ramp = heat
	}
	w := math.Min(1, v.Seconds/60)
	s.ramp += float64(w * (heat - s.ramp))
	s.net, s.netRel = 0.85*s.ramp, rampRel
}

// loss returns the loss of water in kg/s and its relative uncertainty.
func (s *State) loss(rig Rig, v Sight, atBoil bool) (rate, rel float64) {
	air := rig.openArea() * steam.StillAirEvaporation(v.Bath, v.Room, 0.5, v.Pascal)
	if !atBoil || !v.Lit {
		return air, evaporationRel
	}
	if s.net == 0 {
		s.net, s.netRel = simmerW, simmerRel
	}
	// At the boil the temperature says nothing about the hob: what is known of
	// its heat grows old. A tenth in ten minutes, as one turns a knob.
	s.netRel = math.Min(0.6, s.netRel+float64(0.1/600*v.Seconds))
	net := s.net
	if !math.IsNaN(v.Oil) {
		net = math.Max(0.3*net, net-float64(dishW*math.Max(0, v.Bath-v.Oil)))
	}
	return math.Max(air, net/steam.LatentHeat(v.Bath)), s.netRel
}

// z90 is the normal quantile of 0.9.
const z90 = 1.2815515655446004

func (s *State) describe(bare, rate, rel float64) {
	e := &s.est
	s.has = true
	e.WaterKg = Range{math.Max(0, s.kg-float64(z90*s.sd)), s.kg, s.kg + float64(z90*s.sd)}
	spread := float64(z90 * rel)
	e.BoilOffKgH = Range{rate * 3600 * math.Max(0.1, 1-spread), rate * 3600, rate * 3600 * (1 + spread)}
	e.ToBareS = until(s.kg-bare, s.sd, rate, rel)
	e.ToDryS = until(s.kg, s.sd, rate, rel)
	e.HerbWaterKg = Unknown
}

// longest is the longest time that is worth telling, s: beyond a day nobody
// plans with a pan.
const longest = 86400.0

// until is the time in which margin kg are lost.
func until(margin, sd, rate, rel float64) Range {
	if rate <= 0 {
		return Range{longest, longest, longest}
	}
	low := (margin - float64(z90*sd)) / (rate * (1 + float64(0.5*z90*rel)))
	high := (margin + float64(z90*sd)) / (rate * math.Max(0.1, 1-float64(0.5*z90*rel)))
	clamp := func(t float64) float64 { return math.Max(0, math.Min(longest, t)) }
	return Range{clamp(low), clamp(margin / rate), clamp(high)}
}
