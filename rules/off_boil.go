package rules

import (
	"fmt"
	"math"
	"time"

	"bainward/sensors"
)

// Water that boils is a thermometer's second fixed point, and every batch brings
// its bath to it. A bath probe that stands above the boiling point of the moment,
// by more than its uncertainty, that of the pressure and what a pan does to it,
// has drifted, or the pressure is wrong.
//
// One that stands below it says nothing: a simmer is exactly that, 1 to 3 K under
// the boil, and no reading tells a simmer from a probe that reads low. So nobody is
// called for it; but how the hardest boil of each maceration stood is kept (Boil),
// and a drift either way shows from batch to batch.

// aboveBoilCause is the cause of probe-doubtful for a bath that stands too high on
// its boil. A: bath °C, B: boiling point °C.
const aboveBoilCause Cause = 254

// Boil is how the bath probe stood while its water boiled hardest.
type Boil struct {
	OffK     float64 // corrected reading less the boiling point of the moment, mean of two minutes
	BoilingC float64 // that boiling point
	Measured bool    // by a barometer; else from the elevation
}

// boilMemory is what is known of the bath's boil since it was lit.
type boilMemory struct {
	spans   int           // of the bath's long trail when it was last looked at
	stands  bool          // on a plateau that is too high, since
	since   time.Duration // when that began
	is      bool          // and has for long enough
	reads   float64       // then, °C
	boils   float64       // °C
	hardest Boil
	seen    bool // hardest means something
}

const (
	boilWindow = 2 * time.Minute
	// boilFlatKPerS is the plateau of rules/balance.
	boilFlatKPerS = 0.006
	// A plateau further off than these, K, is no boil: below, the bath is held quiet;
	// above, the pan is dry.
	boilReachesBelow, boilReachesAbove = 5.0, 6.0
	// boilRelease is the dead band.
	boilRelease = 0.25 // K
)

// watchBoil follows the bath on its plateau, once a span of its trail.
func (s *State) watchBoil(cfg *Config, v *sight) {
	m, lim := &s.boil, &cfg.Limits.ProbeDoubtful
	if !s.course.lit || lim.BoilS == 0 {
		m.stands, m.is = false, false
		return
	}
	if !v.bath.good || v.bath.long.n == m.spans {
		return
	}
	m.spans = v.bath.long.n
	l := v.bath.long.between(v.now-boilWindow, v.now)
	off := l.mean - v.boiling
	if !l.whole(boilWindow) || math.Abs(l.slope) > boilFlatKPerS || s.water.SinceStirred() < pourRests ||
		!(off >= -boilReachesBelow && off <= boilReachesAbove) {
		m.stands = false
		return
	}
	if !m.seen || off > m.hardest.OffK {
		m.seen, m.hardest = true, Boil{OffK: off, BoilingC: v.boiling, Measured: v.measured}
	}
	m.judge(lim, off, tooHigh(cfg, v), v)
}

// tooHigh is how far over the boiling point a sound probe may stand at the most, K.
// The parts are added and not squared: the weather of a site without a barometer is
// a bias that lasts all day.
func tooHigh(cfg *Config, v *sight) float64 {
	return cfg.Probes[sensors.Bath].Error(v.boiling) + v.boilingU + cfg.Limits.ProbeDoubtful.AboveBoilK
}

func (m *boilMemory) judge(lim *DoubtLimits, off, most float64, v *sight) {
	switch {
	case off <= most-boilRelease:
		m.stands, m.is = false, false
	case off <= most && !m.is:
		m.stands = false
	case !m.stands:
		m.stands, m.since = true, v.now
	}
	if m.stands && (v.now-m.since).Seconds() >= lim.BoilS {
		m.is = true
	}
	if m.is {
		m.reads, m.boils = off+v.boiling, v.boiling
	}
}

// Boil returns how the bath stood on the hardest boil since it was lit last; ok is
// false if it has not boiled.
func (s *State) Boil() (b Boil, ok bool) { return s.boil.hardest, s.boil.seen }

func sayAboveBoil(f Finding, u Units) string {
	return fmt.Sprintf("The bath probe reads %s above where water boils here now (%s): calibrate it, or the air pressure is wrong.", u.TempDiff(f.A-f.B), u.Temp(f.B))
}
