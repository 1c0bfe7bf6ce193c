package rules

import (
	"fmt"
	"math"
	"time"
)

// DishBareLimits are what the rule dish-bare goes by.
//
// When the water falls below the base of the dish, the bath goes on at its
// plateau but the way of the heat into the oil is cut: the oil sags, slowly,
// towards a lower temperature while the bath stands steady. Little else does
// that: a turned-down hob lowers the bath first, and herb that gives up its
// water lets the oil rise, never fall. A strong draught over the dish can, so
// a sag must be deeper where the reckoning is sure that there is water enough,
// unless it gathers pace, which a draught's does not; no more than twice, for the
// reckoning may have been led astray.
type DishBareLimits struct {
	// SteadyK: the bath must have kept within this for SteadyS.
	SteadyK float64 `toml:"steady_k" json:"steady_k"`
	SteadyS float64 `toml:"steady_s" json:"steady_s"`
	// SagK and SagShare: the oil must have fallen by so much, and by this share
	// of its gap to the bath. A base in steam takes in half the heat or less, so
	// the gap grows by half and more in the end, half of that within ten minutes
	// (0.8 kg of oil and a glass dish, 2.3 kJ/K, over 3 to 6 W/K: 400 to 800 s).
	SagK     float64 `toml:"sag_k" json:"sag_k"`
	SagShare float64 `toml:"sag_share" json:"sag_share"`
	// DoubtFactor deepens both (a draught of 0.8 m/s makes the oil sag by 1.7 K in
	// six minutes) while the reckoning is sure of water enough.
	DoubtFactor float64 `toml:"doubt_factor" json:"doubt_factor"`
}

var defaultDishBare = DishBareLimits{SteadyK: 2, SteadyS: 300, SagK: 1.0, SagShare: 0.07, DoubtFactor: 2.0}

type bareMemory struct {
	steady bool
	peak   float64 // highest oil since the bath is steady, as means of four minutes
	gap    float64 // between bath and oil then
	high   float64 // bath then
	follow float64 // so much of the bath's fall since then has the oil followed, K
	sagged bool    // the oil has sagged, and not climbed since
	pace   sagPace
	bare   bool
}

const (
	bareWindow = 4 * time.Minute
	// sagKPerMin is a slope that a probe's steps cannot feign over four minutes.
	sagKPerMin = 0.06
	// uncoverKPerH: as the water goes down the side of the dish, less of it is
	// wet, and the oil comes down with it by degrees long before the base is
	// bare: a dish 60 mm deep in the water gives up half of its heat over two
	// hours of boiling, half of a gap of 10 K. A bare base takes that in minutes.
	uncoverKPerH = 3.0
)

func judgeDishBare(cfg *Config, s *State, v *sight) Finding {
	m, lim := &s.bare, &cfg.Limits.DishBare
	if !s.course.lit {
		*m = bareMemory{}
		return Finding{}
	}
	if !v.bath.good || !v.oil.good || s.swapped.is {
		return Finding{}
	}
	steady := time.Duration(lim.SteadyS * float64(time.Second))
	if s.course.poured && v.now-s.course.lastIn < steady && s.water.Estimate().ToBareS.P50 > 0 {
		// The maker has answered, and by the reckoning it was enough. The base is
		// judged anew once the pour has mixed, from where the oil stands then.
		*m = bareMemory{}
		return clear
	}
	bath := v.bath.long.between(v.now-steady, v.now)
	oil := v.oil.long.between(v.now-bareWindow, v.now)
	if !bath.whole(steady) || !oil.whole(bareWindow) {
		return Finding{}
	}
	if bath.spread() > lim.SteadyK || bath.mean < v.floor {
		m.steady = false
		if m.bare {
			return s.last[DishBare]
		}
		return Finding{}
	}
	if !m.steady || oil.mean > m.peak {
		m.steady, m.peak, m.gap, m.high, m.follow = true, oil.mean, bath.mean-oil.mean, bath.mean, 0
	}
	m.followBath(m.high-bath.mean, v.since)
	// A fall twice as fast as that is no uncovering, and counts in full.
	if !m.bare && !m.sagged && oil.slope*3600 > -2*uncoverKPerH {
		m.peak -= float64(uncoverKPerH / 3600 * v.since.Seconds())
	}
	// A stir or a splash of cooler oil lowers the oil once; a sag goes on.
	early, late, _ := v.oil.halves(v.now, bareWindow)
	if late.n == 0 {
		late.mean = oil.mean
	}
	sag := m.peak - late.mean - m.follow
	need := math.Max(lim.SagK, lim.SagShare*m.gap)
	sagging := oil.slope*60 <= -sagKPerMin && math.Max(early.slope, late.slope) < 0
	m.pace.follow(late.slope, v.now)
	factor := 1.0
	if s.sureOfWater() && !m.pace.gathers(late.slope, v.now) {
		factor = lim.DoubtFactor
	}
	// A sag that has flattened is one still: the oil has come to where half the
	// heat holds it. It is over when the oil climbs.
	switch {
	case sagging && sag >= need:
		m.sagged = true
	case oil.slope*60 >= sagKPerMin || sag < lim.SagK/2:
		m.sagged, m.bare = false, false
	}
	if m.sagged && sag >= factor*need {
		if !m.bare {
			s.water.SawBare()
		}
		m.bare = true
	}
	if m.bare {
		return raised(0, sag, late.mean)
	}
	s.water.SawCovered()
	return clear
}

// sureOfWater reports whether the reckoning leaves little chance of a bare base.
func (s *State) sureOfWater() bool {
	e := s.water.Estimate()
	return e.ToBareS.Known() && e.ToBareS.P10 > 0
}

func sayDishBare(f Finding, u Units) string {
	return fmt.Sprintf("The oil sags (%s, fallen %s) though the bath is steady: the water no longer reaches the dish.", u.Temp(f.B), u.TempDiff(f.A))
}

const adviceDishBare = "Look at the water now. Add hot water down the side of the pan until it covers the base of the dish; cold water on hot glass can crack it. If the pan is dry: heat off first, and no water until it has cooled."
