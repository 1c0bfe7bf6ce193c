package rules

import (
	"fmt"
	"time"
)

// BoilingDryLimits are what the rule boiling-dry goes by.
//
// Liquid water in an open pan cannot be hotter than its boiling point. A probe
// on the pan floor therefore tells a dry pan by rising past it. A probe that
// hangs tells it otherwise: while water boils it sits in steam at the boiling
// point; when the last water has gone there is no more steam, and the reading
// falls off the plateau the way a probe in air does: fast at first, then
// flattening. Water that merely cools falls slowly and evenly, and a cold
// top-up climbs back.
type BoilingDryLimits struct {
	// DepthK: water at the pan floor boils hotter under the water above it;
	// 10 cm are 0.94 kPa, or 0.26 K (ρgh and IAPWS-IF97).
	DepthK float64 `toml:"depth_k" json:"depth_k"`
	// SimmerK: a bath within this of the boiling point stands on its plateau.
	SimmerK float64 `toml:"simmer_k" json:"simmer_k"`
	// AirKPerMin: a fall faster than this, over a minute, without climbing
	// back, is a probe in air. A pan that has a quarter litre left and no heat
	// loses some 300 W at first (evaporation at 95 °C 14 kg/(m²·h), Shah 2014,
	// over 0.02 m², and its walls): 300 W/(0.25 kg·4210 + pan 500 J/K) = 11 K/min
	// is the edge, and it cools slower every minute; a probe in 60 °C air falls
	// 40 K·(1−1/e) = 25 K in its first minute.
	AirKPerMin float64 `toml:"air_k_per_min" json:"air_k_per_min"`
	// FlatShare: the second minute of a fall in air is at most this share of
	// the first (time constant under two minutes: e^(−60/120) = 0.61); cooling
	// water keeps over 0.8 of it.
	FlatShare float64 `toml:"flat_share" json:"flat_share"`
	// FlatK: so much must have fallen in the first minute for the shape to tell.
	FlatK float64 `toml:"flat_k" json:"flat_k"`
	// DeepK: a fall so deep within three minutes that began slowly. The last
	// water leaves a hanging probe within a minute or two; cold water that is
	// poured in falls fast at first and then climbs; and water enough to cover
	// a dish cools by less than 5 K a minute when the heat goes out.
	DeepK float64 `toml:"deep_k" json:"deep_k"`
	// ReckonedK: so much is enough where hardly any water is left by reckoning.
	ReckonedK float64 `toml:"reckoned_k" json:"reckoned_k"`
}

var defaultBoilingDry = BoilingDryLimits{DepthK: 0.3, SimmerK: 8, AirKPerMin: 8, FlatShare: 0.65, FlatK: 3, DeepK: 14, ReckonedK: 6}

// The causes of boiling-dry.
const (
	aboveBoiling Cause = iota // A: bath °C, B: boiling point °C
	probeInAir                // A: fallen K, B: from °C
)

type dryMemory struct {
	over    int // readings above the boiling point in a row
	onTop   time.Duration
	stands  bool // on the plateau since onTop
	plateau float64

	falling bool
	fallAt  time.Duration
	from    float64
	minute  float64 // fallen in the first minute
	timed   bool
	inAir   bool
}

const (
	// plateauAfter: a bath that has stood this long near the boiling point has a
	// plateau to fall from.
	plateauAfter = 3 * time.Minute
	fallStartK   = 1.5 // below the plateau: out of the noise of a rolling boil
	fallDecide   = 70 * time.Second
	fallShape    = 120 * time.Second
	deepSpan     = 120 * time.Second // over which a deep fall is looked for
	deepEarly    = 80 * time.Second  // ago: what fell before is the early part
	deepSlack    = 16 * time.Second
	climbKPerS   = 0.02 // 250 W net in 2 kg of water and a pan: it is climbing back
	climbWindow  = 30 * time.Second
	overReadings = 2 // one reading may be a slip that the CRC missed
)

func judgeBoilingDry(cfg *Config, s *State, v *sight) Finding {
	m := &s.dry
	if !v.bath.good {
		if m.inAir {
			return s.last[BoilingDry]
		}
		return Finding{}
	}
	limit := v.boiling + cfg.Limits.BoilingDry.DepthK + v.boilingU + cfg.Probes[1].Error(v.boiling)
	if v.bath.c > limit {
		m.over++
	} else {
		m.over = 0
	}
	if m.over >= overReadings {
		return raised(aboveBoiling, v.bath.c, v.boiling)
	}
	s.watchFall(cfg, v)
	if m.inAir {
		return raised(probeInAir, m.from-v.bath.c, m.from)
	}
	if v.bath.c > limit {
		return s.last[BoilingDry]
	}
	return clear
}

// watchFall follows the bath as it leaves its plateau and says what kind of
// fall it is.
func (s *State) watchFall(cfg *Config, v *sight) {
	m, lim := &s.dry, &cfg.Limits.BoilingDry
	if !s.course.lit {
		*m = dryMemory{}
		return
	}
	if from, deep := s.fellDeep(lim, v); deep && !m.inAir {
		m.falling, m.inAir, m.timed = true, true, true
		m.fallAt, m.from = v.now-deepSpan, max(from, m.plateau)
	}
	if !m.falling {
		s.standOnPlateau(lim, v)
		return
	}
	fallen := m.from - v.bath.c
	age := v.now - m.fallAt
	slope := v.bath.short.between(v.now-climbWindow, v.now)
	climbs := slope.whole(climbWindow) && slope.slope >= climbKPerS
	poured := s.course.poured && s.course.lastIn+time.Minute >= m.fallAt
	switch {
	case fallen < fallStartK, poured, climbs && age > climbWindow && !m.inAir:
		m.falling, m.inAir, m.stands = false, false, false
		return
	}
	if !m.timed && age >= time.Minute {
		m.minute, m.timed = fallen, true
	}
	switch {
	case !m.timed:
	case age >= fallDecide && m.minute >= lim.AirKPerMin:
		m.inAir = true
	case age >= fallShape && age < fallShape+longSpan && m.minute >= lim.FlatK &&
		fallen-m.minute <= float64(lim.FlatShare*m.minute):
		m.inAir = true
	}
}

// fellDeep reports whether the bath fell in the last two minutes as deep, and
// as late, as no pour makes it fall, and from where.
func (s *State) fellDeep(lim *BoilingDryLimits, v *sight) (from float64, deep bool) {
	then := v.bath.long.between(v.now-deepSpan-deepSlack, v.now-deepSpan+deepSlack)
	mid := v.bath.long.between(v.now-deepEarly-deepSlack, v.now-deepEarly+deepSlack)
	if then.n == 0 || mid.n == 0 || then.mean < v.boiling-float64(3*lim.SimmerK) {
		return 0, false
	}
	if s.course.poured && v.now-s.course.lastIn < deepSpan+time.Minute {
		return 0, false
	}
	fallen := then.mean - v.bath.c
	late := then.mean-mid.mean <= fallen/2
	return then.mean, late && (fallen >= lim.DeepK || s.water.NearlyDry() && fallen >= lim.ReckonedK)
}

// standOnPlateau keeps the plateau's height and notices when it is left.
func (s *State) standOnPlateau(lim *BoilingDryLimits, v *sight) {
	m := &s.dry
	near := v.bath.c >= v.boiling-lim.SimmerK
	if m.stands && v.now-m.onTop >= plateauAfter && v.bath.c < m.plateau-fallStartK {
		m.falling, m.fallAt, m.from = true, v.now, m.plateau
		m.timed, m.inAir = false, false
		return
	}
	switch {
	case !near:
		m.stands = false
	case !m.stands:
		m.stands, m.onTop, m.plateau = true, v.now, v.bath.c
	default:
		// A minute's memory: a turned-down bath settles lower without a fall.
		w := v.since.Seconds() / 60
		if w > 1 {
			w = 1
		}
		m.plateau += float64(w * (v.bath.c - m.plateau))
	}
}

func sayBoilingDry(f Finding, u Units) string {
	if f.Cause == probeInAir {
		return fmt.Sprintf("The bath probe fell %s off its %s plateau as a probe in air does: the pan is dry, or the probe was lifted out.", u.TempDiff(f.A), u.Temp(f.B))
	}
	return fmt.Sprintf("The bath reads %s, and water boils at %s: the pan is dry.", u.Temp(f.A), u.Temp(f.B))
}

const adviceBoilingDry = "Turn the heat off first. Pour no cold water into a hot dry pan: the dish can burst and hot oil spit. Let it cool, leave the dish where it is. If the oil smokes or burns: lid on, heat off, leave it; never water."
