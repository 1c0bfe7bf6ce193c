package rules

import (
	"math"
	"time"

	"bainward/rules/balance"
	"bainward/sensors"
)

// Ahead says in how many seconds the oil will reach its floor and in how many
// the hold will be done, if the bath goes on as it does. Both are Unknown while
// nothing is heated or nobody can tell, and zero when it is so already.
func (s *State) Ahead(cfg *Config) (floor, held balance.Range) {
	if !s.course.lit {
		return balance.Unknown, balance.Unknown
	}
	at, _ := s.bounds(cfg)
	floor = s.water.OilReaches(cfg.panRig(), balance.Sight{
		Bath: known(&s.probes[sensors.Bath]), Oil: known(&s.probes[sensors.Oil]), Room: known(&s.probes[sensors.Room]),
		Boiling: s.air.boiling, Pascal: float64(s.air.pascal), Lit: true,
	}, at)
	left := math.Max(0, float64((cfg.Recipe.Hold-s.hold.done)/time.Second))
	if left == 0 {
		return floor, balance.Range{}
	}
	// A cold top-up takes the oil below its floor for a few minutes: a tenth of
	// what is left at the most.
	held = balance.Range{P10: floor.P10 + left, P50: floor.P50 + left, P90: floor.P90 + float64(1.1*left)}
	if held.P50 >= never {
		return floor, balance.Unknown
	}
	return floor, held
}

// never: the oil does not get there within a day.
const never = 86400.0

// PourSeen returns a pour that was seen in the bath and that nobody has
// entered yet, about how many kg it was, and false if there is none to ask for.
func (s *State) PourSeen() (kg float64, asks bool) {
	return s.water.Seen.Kg, s.water.Asks()
}
