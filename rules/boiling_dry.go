package rules

import (
	"fmt"
	"math"
	"time"

	"bainward/sensors"
)

// BoilingDryLimits are what the rule boiling-dry goes by.
//
// Liquid water in an open pan cannot be hotter than its boiling point. A probe
// on the pan floor therefore tells a dry pan by rising past it. A probe that
// hangs tells it otherwise: once the water is below its tip it stands in steam,
// mixed with more air the softer the boil; when the last water goes there is no
// more steam, and the reading falls and goes on falling. Cold water that nobody
// entered makes it fall faster, but not for so long; a bath whose heat went out
// falls for longer, but not so fast.
type BoilingDryLimits struct {
	// FloorK: a probe on the pan floor may read so much above the boiling point
	// of the day. Water there boils hotter under the water above it, 0.26 K for
	// 10 cm (ρgh and IAPWS-IF97); and the probe touches metal that is some 8 K
	// hotter under a strong flame (25 kW/m² at 5.56·ΔT³ W/(m²·K), Jakob and
	// Hawkins as in Holman's table 9-3, from memory), of which it sees a tenth.
	FloorK float64 `toml:"floor_k" json:"floor_k"`
	// SimmerK: a bath within this of the boiling point simmers.
	SimmerK float64 `toml:"simmer_k" json:"simmer_k"`
	// AirKPerMin: a probe that falls faster than this all through two minutes
	// hangs in air. A pan with 0.7 kg left and no heat loses some 300 W at first
	// (evaporation at 95 °C 14 kg/(m²·h), Shah 2014, over 0.02 m², and its
	// walls), which is 300 W/(0.7 kg·4210 + pan 500 J/K) = 5 K/min, and a quarter
	// less two minutes later.
	AirKPerMin float64 `toml:"air_k_per_min" json:"air_k_per_min"`
}

var defaultBoilingDry = BoilingDryLimits{FloorK: 1, SimmerK: 8, AirKPerMin: 4}

// The causes of boiling-dry.
const (
	aboveBoiling Cause = iota // A: bath °C, B: boiling point °C
	probeInAir                // A: fallen K, B: from °C
)

type dryMemory struct {
	over   int  // readings above the boiling point in a row
	boiled bool // the bath has simmered since it was lit
	inAir  bool
	from   float64 // where the fall began, °C
	back   bool    // stands at the simmer again, since backAt, near backC
	backAt time.Duration
	backC  float64
}

const (
	// overReadings: one reading may be a slip that the CRC missed (1 in 256 of
	// damaged ones); a batch must not be called spoiled by it.
	overReadings = 2
	// A fall in air is looked for in three spans. Half a litre of cold water is
	// poured, mixed and seen by the slowest probe well before the third.
	airSpan  = 40 * time.Second
	airSpans = 3
	// reckonedSpans are enough where hardly any water is left by reckoning.
	reckonedSpans = 2
	// pourMixes: entered before or after it was poured.
	pourMixes = time.Minute
	// A probe put back stays so long and so near at the simmer; that of a dry pan
	// passes through on its way up.
	backLasts = 3 * time.Minute
	backKeeps = 2.5 // K
)

func judgeBoilingDry(cfg *Config, s *State, v *sight) Finding {
	m := &s.dry
	if !v.bath.good {
		if m.inAir || v.bath.tooHot() {
			return s.last[BoilingDry]
		}
		return Finding{}
	}
	limit := v.boiling + cfg.Limits.BoilingDry.FloorK + v.boilingU + cfg.Probes[sensors.Bath].Error(v.boiling)
	if v.bath.c > limit {
		m.over++
	} else {
		m.over = 0
	}
	if m.over >= overReadings {
		return raised(aboveBoiling, v.bath.c, v.boiling)
	}
	s.watchFall(cfg, v, limit)
	if m.inAir {
		return raised(probeInAir, m.from-v.bath.c, m.from)
	}
	if v.bath.c > limit {
		return s.last[BoilingDry]
	}
	return clear
}

// watchFall follows the bath from its simmer and notices a fall that no water
// makes.
func (s *State) watchFall(cfg *Config, v *sight, limit float64) {
	m, lim := &s.dry, &cfg.Limits.BoilingDry
	if !s.course.lit {
		*m = dryMemory{over: m.over} // a pan left on the flame after straining
		return
	}
	simmers := v.bath.c >= v.boiling-lim.SimmerK && v.bath.c <= limit
	m.boiled = m.boiled || simmers
	poured := s.course.poured && v.now-s.course.lastIn < airSpans*airSpan+pourMixes
	switch {
	case m.inAir:
		if !simmers || !m.back || math.Abs(v.bath.c-m.backC) > backKeeps {
			m.back, m.backAt, m.backC = simmers, v.now, v.bath.c
		}
		m.inAir = !poured && !(m.back && v.now-m.backAt >= backLasts)
	case m.boiled && !poured:
		spans := airSpans
		if s.water.NearlyDry() {
			spans = reckonedSpans
		}
		m.from, m.inAir = v.bath.fallsThroughout(v.now, lim.AirKPerMin/60, spans)
		m.back = false
	}
}

// fallsThroughout reports whether the probe falls by at least rate, K/s, in each
// of the last spans, and from where.
func (p *probe) fallsThroughout(at time.Duration, rate float64, spans int) (from float64, falls bool) {
	for range spans {
		l := p.short.between(at-airSpan, at)
		if !l.whole(airSpan) || l.slope > -rate {
			return 0, false
		}
		from, at = l.high, at-airSpan
	}
	return from, true
}

func sayBoilingDry(f Finding, u Units) string {
	if f.Cause == probeInAir {
		return fmt.Sprintf("The bath probe fell %s from %s as a probe in air does: the pan is dry or nearly so, or the probe was lifted out.", u.TempDiff(math.Max(0, f.A)), u.Temp(f.B))
	}
	return fmt.Sprintf("The bath reads %s, and water boils at %s: the pan is dry.", u.Temp(f.A), u.Temp(f.B))
}

const adviceBoilingDry = "Turn the heat off first. Pour no cold water into a hot dry pan: the dish can burst and hot oil spit. Let it cool, leave the dish where it is. If the oil smokes or burns: lid on, heat off, leave it; never water."
