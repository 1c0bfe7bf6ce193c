package rules

import (
	"fmt"
	"time"

	"bainward/sensors"
)

// The causes of probe-doubtful: a role and a fault in one number, swapped, or
// aboveBoilCause. A and B hold nothing for a fault; for swapped they are oil and
// bath in °C.
const swappedCause Cause = 255

func doubtCause(r sensors.Role, f sensors.Fault) Cause { return Cause(uint8(r)<<5 | uint8(f)) }

// doubtShare: with this share of its readings untrusted a probe is doubtful
// even if good ones come between.
const doubtShare = 0.4

func judgeProbeDoubtful(cfg *Config, s *State, v *sight) Finding {
	if !s.Begun() || s.course.strained() {
		return clear // the dish is out: no judgement rests on its probes
	}
	lasts := time.Duration(cfg.Limits.ProbeDoubtful.LastsS * float64(time.Second))
	for _, r := range [...]sensors.Role{sensors.Oil, sensors.Bath} {
		p := &s.probes[r]
		switch {
		case p.good, p.tooHot():
		case p.silent(v.now, lasts) && !wordless(p.fault), p.flaps(v.now, lasts):
			return raised(doubtCause(r, p.fault), 0, 0)
		}
	}
	if s.swapped.is {
		return raised(swappedCause, s.swapped.oil, s.swapped.bath)
	}
	if s.boil.is {
		return raised(aboveBoilCause, s.boil.reads, s.boil.boils)
	}
	if was := s.last[ProbeDoubtful]; was.Level == Raised && was.Cause < aboveBoilCause {
		p := &s.probes[was.Cause>>5]
		gone := p.silent(v.now, lasts) && wordless(p.fault) // probe-silent speaks
		if p.share >= doubtShare/4 && !gone && !p.tooHot() {
			return was
		}
	}
	return clear
}

// flaps reports whether good readings come, but with too many bad ones between:
// a loose contact, or a wire at the end of its reach.
func (p *probe) flaps(at, lasts time.Duration) bool {
	return p.share >= doubtShare && p.seen && at-p.goodAt < lasts
}

// doubtStuck looks for a probe that stands still to the last bit although it
// must move: oil far below its bath, or a bath off the boil while the oil
// warms behind it.
func (s *State) doubtStuck(cfg *Config, v *sight) {
	lim := cfg.Limits.ProbeDoubtful
	if !s.course.lit {
		return
	}
	const (
		farBelow  = 20.0 // K: oil so far below its bath warms by several steps in five minutes
		bathMoved = 8.0  // K: a bath that moved so far takes the oil along
		oilMoved  = 4.0  // K
		offBoil   = 4.0  // K: nearer the boiling point a bath may well stand still
	)
	oilC, bathC := v.oil.c, v.bath.c
	v.oil.stuck(v.bath, lim, func(then, now float64) bool {
		return now-oilC > farBelow && then-oilC > farBelow || now-then > bathMoved
	}, v.now)
	v.bath.stuck(v.oil, lim, func(then, now float64) bool {
		return bathC < v.boiling-offBoil && now-then > oilMoved
	}, v.now)
}

// swapMemory is what is known of oil and bath probe having changed places.
type swapMemory struct {
	at    time.Duration
	seems bool
	is    bool
	oil   float64
	bath  float64
	right time.Duration // how long they have stood the right way round since
	ahead time.Duration // how long the bath has led since the heat is on
}

const (
	swapLasts  = 2 * time.Minute
	swapWindow = time.Minute
	// swapCleared: longer than a cold top-up takes to be heated up again.
	swapCleared = 15 * time.Minute
	// slowestOil: oil follows the water around it with a time constant of half
	// an hour at the most; a "bath" probe that follows slower lies in neither.
	slowestOil = 1800.0
)

// looksSwapped tells that what is called oil leads and what is called bath
// follows it as oil follows water.
func (s *State) looksSwapped(cfg *Config, v *sight) bool {
	if !v.oil.good || !v.bath.good || !s.course.lit {
		return false
	}
	lead := v.oil.c - v.bath.c
	if lead < cfg.Limits.ProbeDoubtful.SwappedK || v.oil.c > v.boiling+v.boilingU+cfg.Probes[sensors.Oil].Error(v.boiling) {
		return false
	}
	l := v.bath.line(v.now, swapWindow)
	return l.whole(swapWindow) && l.slope > 0 && l.slope >= lead/slowestOil
}

// judgeSwapped reports whether the probes are taken to have changed places.
func judgeSwapped(cfg *Config, s *State, v *sight) bool {
	m := &s.swapped
	if !s.course.lit {
		*m = swapMemory{}
		return false
	}
	if !v.oil.good || !v.bath.good {
		return m.is
	}
	if v.bath.c-v.oil.c >= cfg.Limits.ProbeDoubtful.SwappedK {
		m.ahead += v.since
	}
	switch {
	case s.looksSwapped(cfg, v) && v.oil.c > 35:
		if !m.seems {
			m.seems, m.at = true, v.now
		}
		m.right = 0
		lasts := swapLasts
		if m.ahead >= swapLasts {
			// They were right, and a big cold top-up that nobody entered makes the
			// oil lead for a while too.
			lasts = swapCleared
		}
		if v.now-m.at >= lasts {
			m.is, m.oil, m.bath = true, v.oil.c, v.bath.c
		}
	case !m.is:
		m.seems = false
	case v.oil.c < v.bath.c:
		// A top-up turns them round for a while; only a long stretch clears them.
		m.right += v.since
		if m.right >= swapCleared {
			*m = swapMemory{}
		}
	}
	return m.is
}

func sayProbeDoubtful(f Finding, u Units) string {
	if f.Cause == swappedCause {
		return fmt.Sprintf("The oil probe (%s) leads and the bath probe (%s) follows: they look swapped, or the dish is heated directly.", u.Temp(f.A), u.Temp(f.B))
	}
	if f.Cause == aboveBoilCause {
		return sayAboveBoil(f, u)
	}
	role, fault := sensors.Role(f.Cause>>5), sensors.Fault(f.Cause&31)
	words := fault.String()
	if fault == sensors.PowerOn && u == US {
		words = "restarted without converting (185 °F)"
	}
	return fmt.Sprintf("The %s probe cannot be believed: %s.", role, words)
}

const adviceProbeDoubtful = "Look at the bath yourself until the readings can be trusted. Check plug, cable and supply of the probe, and that the oil probe is in the oil and the bath probe in the water, off the metal of the pan. One that stands too high on every boil is to be calibrated. Only trusted readings count for the hold."
