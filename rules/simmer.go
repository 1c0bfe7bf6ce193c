package rules

import (
	"fmt"
	"math"
	"time"
)

// SimmerLimits are what the rule off-the-simmer goes by.
//
// The oil settles some degrees below its bath, so a bath that has fallen close
// to the oil's floor cannot keep the oil above it. A top-up also lowers the
// bath, but then it climbs back by itself.
type SimmerLimits struct {
	// AboveFloorK: the bath must stay this far above the oil's floor. Oil in a
	// simmering bath was 3 to 12 K below it (common practice, no source).
	AboveFloorK float64 `toml:"above_floor_k" json:"above_floor_k"`
	// ReleaseK is the dead band: 1 % of the probe's range (ISA-18.2, from memory).
	ReleaseK float64 `toml:"release_k" json:"release_k"`
	// ClimbKPerMin: a bath that climbs faster than this is coming back.
	ClimbKPerMin float64 `toml:"climb_k_per_min" json:"climb_k_per_min"`
}

var defaultSimmer = SimmerLimits{AboveFloorK: 5, ReleaseK: 1.25, ClimbKPerMin: 0.3}

// The causes of off-the-simmer. A: bath °C; B: °C that it must not fall below,
// or the oil's floor.
const (
	bathFell Cause = iota
	oilFollows
)

type simmerMemory struct {
	reached bool // the bath has simmered in this maceration
	off     bool
	high    float64 // highest bath since, as means of two minutes, °C
	sinks   bool    // the bath goes down and took the oil below its floor
}

const (
	simmerWindow = 2 * time.Minute
	// pourRests: after a top-up, entered or seen, the window still holds the fall.
	pourRests = 240.0 // s
	// A bath turned too low sinks slowly, and its oil may be below the floor long
	// before the bath is near it. sinkKPerMin is half a Kelvin, eight steps of
	// the chip, in the window; the noise of a simmer makes under a tenth of it.
	sinkWindow  = 5 * time.Minute
	sinkKPerMin = 0.1
)

func judgeOffTheSimmer(cfg *Config, s *State, v *sight) Finding {
	m, lim := &s.simmer, &cfg.Limits.OffTheSimmer
	if !s.course.lit {
		*m = simmerMemory{}
		return Finding{}
	}
	if !v.bath.good {
		return Finding{}
	}
	if s.last[BoilingDry].Level == Raised {
		return clear // a dry pan must not be told to simmer
	}
	limit := v.floor + lim.AboveFloorK
	if v.bath.c >= limit+lim.ReleaseK {
		m.reached, m.off = true, false
	}
	if !m.reached || s.hold.enough(cfg) {
		m.off = false
		return clear
	}
	l := v.bath.long.between(v.now-simmerWindow, v.now)
	if !l.whole(simmerWindow) {
		return s.last[OffTheSimmer]
	}
	m.high = math.Max(m.high, l.mean)
	climbs := l.slope*60 >= lim.ClimbKPerMin || s.water.SinceStirred() < pourRests
	m.sinks = s.bathSinks(lim, v) || m.sinks && !climbs && v.oil.good && v.oil.c < v.floor
	switch {
	case v.bath.c < limit && !climbs && l.high < limit+lim.ReleaseK+6:
		m.off = true
	case climbs:
		m.off = false
	}
	switch {
	case m.off:
		return raised(bathFell, v.bath.c, limit)
	case m.sinks:
		return raised(oilFollows, v.bath.c, v.floor)
	}
	return clear
}

// bathSinks reports whether the oil is below its floor because the bath goes
// down and down, and not because the water left the dish.
func (s *State) bathSinks(lim *SimmerLimits, v *sight) bool {
	if s.bare.bare || s.hold.done == 0 || !v.oil.good || v.oil.c >= v.floor || s.simmer.high-v.bath.c < lim.AboveFloorK {
		return false
	}
	if s.water.SinceStirred() < sinkWindow.Seconds() {
		return false // cold water was poured in
	}
	early, late, whole := v.bath.halves(v.now, sinkWindow)
	return whole && math.Max(early.slope, late.slope)*60 <= -sinkKPerMin
}

func sayOffTheSimmer(f Finding, u Units) string {
	if f.Cause == oilFollows {
		return fmt.Sprintf("The bath sinks, now %s, and the oil is below its floor of %s before the hold is done.", u.Temp(f.A), u.Temp(f.B))
	}
	return fmt.Sprintf("The bath fell back to %s and does not recover; below %s the oil drops under its floor before the hold is done.", u.Temp(f.A), u.Temp(f.B))
}

const adviceOffTheSimmer = "Look at the water first: if the pan is dry, turn the heat off. Else see whether the heat went out or was turned too low, and bring the bath back to a simmer. Gas that went out: close the tap and air the room before lighting it again."
