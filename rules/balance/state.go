package balance

import (
	"math"

	"bainward/rules/steam"
)

// Rig is what the pan and the dish are like, in metres.
type Rig struct {
	PanDiameter  float64
	DishDiameter float64
	BaseHeight   float64 // of the dish above the pan floor
}

func disc(d float64) float64 { return float64(math.Pi / 4 * d * d) }

// BareKg is the water in the pan, in kg at celsius, when its surface stands at
// the base of the dish.
func (r Rig) BareKg(celsius float64) float64 {
	return steam.Density(celsius) * disc(r.PanDiameter) * r.BaseHeight
}

// openArea is the water surface beside the dish, m².
func (r Rig) openArea() float64 { return disc(r.PanDiameter) - disc(r.DishDiameter) }

// Sight is what one instant gives to go by. Temperatures are trusted and in
// °C; NaN where there is none.
type Sight struct {
	Seconds   float64 // since the instant before
	Bath      float64
	BathSlope float64 // K/s over the last minute; NaN if not known
	Oil       float64
	Room      float64
	Boiling   float64
	Pascal    float64
	Lit       bool
}

// State is what is thought of the pan. The zero State knows nothing.
type State struct {
	known  bool    // how much water was put in is known
	kg     float64 // water left
	sd     float64 // its standard deviation, kg
	ramp   float64 // net heat seen while the bath warmed, W; 0: never seen
	net    float64 // heat that boils water off at the boil, W
	netRel float64 // its relative standard deviation
	est    Estimate
	has    bool
}

const (
	// pourError: a kitchen jug is read to some 3 % (common practice, no source).
	pourError = 0.03
	// unsaid: a maker who tells no amount fills until the base is well covered.
	unsaidAbove, unsaidSD = 0.25, 0.2 // kg above bare
	// simmerW: heat that boils water off a turned-down bath; half a kilogram an
	// hour is a usual simmer (common practice: water about every half hour).
	simmerW, simmerRel = 340.0, 0.45
	// rampRel: what warms the bath also warms pan, dish and herb, whose share
	// is known to about so much.
	rampRel = 0.25
	// panCapacity: 1 to 1.5 kg of steel at 500 J/(kg·K).
	panCapacity = 600.0
	// dishW: W/K from the bath through base and wetted wall of the dish.
	dishW = 5.0
	// evaporationRel: spread of evaporation laws for a pan (Shah 2014: 18 % mean
	// deviation on pools; a pan's rim and draughts add to it).
	evaporationRel = 0.35
	// nearBoil: within this of the boiling point the heat decides, not the air.
	nearBoil = 1.5
)

// Poured takes water put into the pan, kg; NaN means that nobody said how much.
func (s *State) Poured(rig Rig, kg float64, first bool) {
	bare := rig.BareKg(95)
	switch {
	case math.IsNaN(kg):
		s.kg, s.sd = math.Max(s.kg, bare+unsaidAbove), unsaidSD
	case first && !s.known:
		s.kg, s.sd = kg, pourError*kg
	case !s.known:
		s.kg, s.sd = bare+kg, quadrature(unsaidSD, pourError*kg)
	default:
		s.kg += kg
		s.sd = quadrature(s.sd, pourError*kg)
	}
	s.known = true
}

// TurnedDown notes that the heat was set to a simmer.
func (s *State) TurnedDown() {
	s.net, s.netRel = simmerW, simmerRel
	if s.ramp > 0 {
		s.net = math.Min(simmerW, 0.6*s.ramp)
	}
}

// Estimate returns what is thought of the pan.
func (s *State) Estimate() Estimate {
	if !s.has {
		return Nothing
	}
	return s.est
}
