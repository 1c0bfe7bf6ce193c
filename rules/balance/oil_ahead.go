package balance

import (
	"math"

	"bainward/rules/repeatable"
	"bainward/rules/steam"
)

const (
	aheadStep  = 30.0     // s
	aheadLimit = 4 * 3600 // s: a bath that takes longer does not get there
	// holdsRel: what oil, herb and glass take up is known to about so much.
	holdsRel = 0.12
)

// OilReaches returns the seconds until the oil will stand at floor, °C, if the
// bath goes on as it does; Unknown if the oil cannot be seen or will not.
func (s *State) OilReaches(rig Rig, v Sight, floor float64) Range {
	if !s.has || !s.dish.begun || math.IsNaN(v.Bath) || !v.Lit {
		return Unknown
	}
	if s.dish.oil >= floor {
		return Range{}
	}
	if math.IsNaN(v.Room) {
		v.Room = 20
	}
	if s.dish.falls(v) {
		return Unknown // the walk below takes it that the water reaches the dish
	}
	doubt := float64(z90 * quadrature(math.Sqrt(s.dish.givesVar), holdsRel))
	r := Range{
		s.oilReaches(rig, v, floor, doubt),
		s.oilReaches(rig, v, floor, 0),
		s.oilReaches(rig, v, floor, -doubt),
	}
	if r.P10 < longest && r.P50 >= longest {
		return Unknown // so near the floor that a little doubt decides whether
	}
	return r
}

// fallsKPerS: a cold top-up takes the oil down by a kelvin or two in minutes;
// slower than this is the probe's steps.
const fallsKPerS = -0.004

// falls reports whether the oil cools although the bath is hotter.
func (d *dish) falls(v Sight) bool { return d.slope < fallsKPerS && v.Bath > d.oil }

// oilReaches walks the oil ahead, with the heat into the dish shifted by ln.
func (s *State) oilReaches(rig Rig, v Sight, floor, ln float64) float64 {
	d := s.dish
	gives := repeatable.Exp(d.lnGives + ln)
	top := v.Boiling - 0.5
	if s.plateau.known {
		top = s.plateau.c
	}
	takes := float64(steam.HeatCapacity(v.Bath)*s.thought.x[inPan]) + rig.follows()
	climb := repeatable.Exp(s.thought.x[hob]) / takes // K/s
	bath := v.Bath
	for t := 0.0; t < aheadLimit; t += aheadStep {
		if d.oil >= floor {
			return t
		}
		spent := float64(d.loses*(d.oil-v.Room)) + d.herbHeat(v)
		d.oil += float64((float64(gives*(bath-d.oil)) - spent) / d.holds * aheadStep)
		bath = math.Min(math.Max(top, v.Bath), bath+float64(climb*aheadStep))
	}
	return longest
}
