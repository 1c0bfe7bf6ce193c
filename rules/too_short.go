package rules

import (
	"fmt"
	"time"
)

// TooShortLimits are what the rule too-short goes by: a maceration strained
// before its hold was done, or one whose heat went out and is cooling away with
// the hold unfinished.
type TooShortLimits struct {
	// CoolingS: oil that fell below its floor and has not climbed for so long is
	// not a top-up being heated up again: 0.7 kg of cold water take
	// 4.19·0.7·85/0.45 = 550 s on a simmer of 450 W, and the oil turns with them.
	CoolingS float64 `toml:"cooling_s" json:"cooling_s"`
}

var defaultTooShort = TooShortLimits{CoolingS: 600}

// The causes of too-short. A: hold done, s; B: hold asked, s.
const (
	strainedEarly Cause = iota
	heatWentOut
)

type shortMemory struct {
	cut   bool
	had   time.Duration
	below time.Duration // since when the oil is below its floor and does not climb
	falls bool
}

const (
	coolWindow = 2 * time.Minute
	// coolClimb, K/min: oil that climbs so, or whose bath does, is on its way
	// back: 5 W/K from a bath 10 K hotter, less the loss to the room, into
	// 2.3 kJ/K of oil and glass.
	coolClimb = 0.3
	// coolBand, K: oil that hovers about its floor has not lost its heat: 1 % of
	// the probe's range (ISA-18.2 table of starting dead bands, from memory).
	coolBand = 1.25
)

func judgeTooShort(cfg *Config, s *State, v *sight) Finding {
	m := &s.short
	asked := cfg.Recipe.Hold.Seconds()
	switch {
	case m.cut:
		return raised(strainedEarly, m.had.Seconds(), asked)
	case !s.course.lit || s.hold.done == 0 || s.hold.enough(cfg):
		m.falls = false
		return clear
	case v.since == 0 || !v.oil.good:
		return s.last[TooShort]
	case v.oil.c >= v.floor:
		m.falls = false
		return clear
	}
	l := v.oil.long.between(v.now-coolWindow, v.now)
	if !l.whole(coolWindow) {
		return s.last[TooShort]
	}
	heat := v.bath.long.between(v.now-coolWindow, v.now)
	switch {
	case l.slope*60 >= coolClimb, v.bath.good && heat.whole(coolWindow) && heat.slope*60 >= coolClimb:
		m.falls = false
		return clear
	case m.falls: // and staying where it fell to is no recovery
	case l.slope >= 0, v.oil.c > v.floor-coolBand:
		return clear
	default:
		m.falls, m.below = true, v.now
	}
	if s.course.poured {
		m.below = max(m.below, s.course.lastIn) // water was added: it gets its time
	}
	if (v.now - m.below).Seconds() < cfg.Limits.TooShort.CoolingS {
		return clear
	}
	return raised(heatWentOut, s.hold.done.Seconds(), asked)
}

func sayTooShort(f Finding, _ Units) string {
	done, asked := Minutes(secondsOf(f.A)), Minutes(secondsOf(f.B))
	if f.Cause == heatWentOut {
		return fmt.Sprintf("The oil fell below its floor and does not climb back, with only %s of %s held.", done, asked)
	}
	return fmt.Sprintf("Strained %s before the hold of %s was done.", Minutes(secondsOf(f.B-f.A)), asked)
}

func secondsOf(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

const adviceTooShort = "If the herb is still in the oil, look at the water, bring the bath back to a simmer and finish the hold. If it is strained, note on the sheet why, and judge the oil as a weaker one."
