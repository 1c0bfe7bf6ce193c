package rules

import (
	"fmt"
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

type simmerMemory struct {
	reached bool // the bath has simmered in this maceration
	off     bool
}

const (
	simmerWindow = 2 * time.Minute
	// pourRests: after a top-up, entered or seen, the window still holds the fall.
	pourRests = 240.0 // s
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
	climbs := l.slope*60 >= lim.ClimbKPerMin || s.water.SinceStirred() < pourRests
	switch {
	case v.bath.c < limit && !climbs && l.high < limit+lim.ReleaseK+6:
		m.off = true
	case climbs:
		m.off = false
	}
	if m.off {
		return raised(0, v.bath.c, limit)
	}
	return clear
}

func sayOffTheSimmer(f Finding, u Units) string {
	return fmt.Sprintf("The bath fell back to %s and does not recover; below %s the oil drops under its floor before the hold is done.", u.Temp(f.A), u.Temp(f.B))
}

const adviceOffTheSimmer = "See whether the heat went out or was turned too low, and bring the bath back to a simmer. Gas that went out: close the tap and air the room before lighting it again."
