package balance

import (
	"math"

	"bainward/rules/repeatable"
	"bainward/rules/steam"
)

// plateau is where the bath stands while it boils. It is not quite the boiling
// point: the probe has its error, and a gentle boil stands a little lower.
type plateau struct {
	c     float64
	known bool
	slow  float64 // the bath, smoothed over half a minute
	slope float64 // of slow, K/s, smoothed
	begun bool
}

const (
	// plateauBelow: a boil with few bubbles stands up to so far below the
	// boiling point, the probe's error of 1 °C included.
	plateauBelow = 3.0
	plateauAbove = 2.5
	flatKPerS    = 0.006 // slower than this is a plateau
)

// follow finds the plateau and keeps to it.
func (p *plateau) follow(s *State, v Sight) {
	if !p.begun {
		p.slow, p.begun = v.Bath, true
		return
	}
	w := math.Min(1, v.Seconds/30)
	was := p.slow
	p.slow += float64(w * (v.Bath - p.slow))
	if v.Seconds > 0 {
		p.slope += float64(w * ((p.slow-was)/v.Seconds - p.slope))
	}
	near := v.Bath >= v.Boiling-plateauBelow && v.Bath <= v.Boiling+plateauAbove
	if !v.Lit || !near || math.Abs(p.slope) > flatKPerS {
		return
	}
	if !p.known {
		p.c, p.known = p.slow, true
		s.boiled = math.Max(s.now, 1)
		return
	}
	p.c += float64(math.Min(1, v.Seconds/60) * (p.slow - p.c))
}

// boils reports whether the heat decides how much water leaves.
func (s *State) boils(v Sight) bool {
	return v.Bath >= s.quiet(v)
}

// quiet is the temperature below which no boiling takes heat away unseen.
func (s *State) quiet(v Sight) float64 {
	if s.plateau.known {
		return math.Min(s.plateau.c, v.Boiling+0.5) - quietBelow
	}
	return v.Boiling - 3.5
}

// quietBelow: bubbles reach the surface from some 1 to 3 K below the boiling
// point on; a plateau stands about 1 K below it.
const quietBelow = 2.0

// window is a stretch of the bath's course below the boil.
type window struct {
	n            int
	t, c, tt, tc float64 // sums of time (s, from its start) and temperature
	start, first float64
	vapour, gap  float64 // sums
}

const (
	windowS = 40.0 // a window is closed after so long, and four readings
	mixedS  = 75.0 // water that was poured in has mixed, and the probe followed
)

// learnHeat takes the heat of the hob from the slope of the bath where no
// boiling hides it.
func (s *State) learnHeat(rig Rig, v Sight) {
	w := &s.slope
	if !v.Lit || v.Bath > s.quiet(v) || s.now-s.stirred < mixedS || s.dip.falling {
		*w = window{}
		return
	}
	if w.n == 0 {
		w.start, w.first = s.now, v.Bath
	}
	t := s.now - w.start
	w.n++
	w.t += t
	w.c += v.Bath - w.first
	w.tt += float64(t * t)
	w.tc += float64(t * (v.Bath - w.first))
	w.vapour += s.vapour
	w.gap += s.dish.uptake(v)
	if t < windowS || w.n < 4 {
		return
	}
	s.hearHeat(rig, v, *w)
	*w = window{}
}

const (
	// slopeNoise: the bath's mean is known to so much at both ends of a window,
	// bubbles and streaks of cold water included, K.
	slopeNoise = 0.12
	// takesRel: what pan, glass and water take up, and how evenly warm they are.
	takesRel = 0.06
	// dishRel: what is known of the heat that goes into the dish.
	dishRel = 0.3
	// cycleRel, cycleS: a plate that switches on and off gives a window of this
	// length its mean heat to about so much.
	cycleRel, cycleS = 0.15, 40.0
)

func (s *State) hearHeat(rig Rig, v Sight, w window) {
	n := float64(w.n)
	d := float64(n*w.tt) - float64(w.t*w.t)
	if d <= 0 {
		return
	}
	slope := (float64(n*w.tc) - float64(w.t*w.c)) / d
	long := s.now - w.start
	t := &s.thought
	c := steam.HeatCapacity(v.Bath)
	takes := float64(c*t.x[inPan]) + rig.follows()
	stored := float64(takes * slope)
	air0 := float64(rig.openArea() * w.vapour / n * steam.LatentHeat(v.Bath) * repeatable.Exp(t.x[air]))
	dish := w.gap / n
	heat := repeatable.Exp(t.x[hob])
	// heat - air - dish = stored
	by := stored + air0 + dish - heat
	h := row{inPan: -float64(c * slope), hob: heat, air: -air0}
	noise := float64(takes * slopeNoise / long)
	variance := float64(noise*noise) + square(takesRel*stored) + square(dishRel*dish) +
		float64(square(cycleRel*heat)*cycleS/long) + 400
	s.leap(by, heat, variance)
	t.hear(h, by, variance)
	t.x[hob] = math.Max(lnLeast, math.Min(lnMost, t.x[hob]))
	if !s.turned && slope > 0.01 {
		s.full = repeatable.Exp(t.x[hob])
	}
	s.due = tellEvery
}

const lnLeast, lnMost = 1.6, 8.6 // 5 W and 5.4 kW

func square(x float64) float64 { return float64(x * x) }

// leap opens the mind about the hob where a window says something quite other
// than was thought: a knob is turned in a second.
func (s *State) leap(by, heat, variance float64) {
	t := &s.thought
	off := by / math.Sqrt(variance+float64(heat*heat*t.p[hob][hob]))
	if math.Abs(off) > surprise {
		t.p[hob][hob] += square(0.5)
	}
}

const (
	// hobWalk: what is known of the heat grows old. A tenth in half an hour: the
	// plate warms through, the gas bottle cools, somebody leans on the knob.
	hobWalk = 0.10 * 0.10 / 1800
	// hobUnsaid: until the turn-down is entered, the knob may have been turned
	// without a word: half in ten minutes at the boil.
	hobUnsaid = 0.5 * 0.5 / 600
	// unsaidS: a maker turns down within about so long of the boil.
	unsaidS = 600.0
)

// rate returns the loss of water in kg/s and its change with the things.
func (s *State) rate(rig Rig, v Sight) (kg float64, slope row) {
	t := &s.thought
	air0 := rig.openArea() * s.vapour * repeatable.Exp(t.x[air])
	if !v.Lit || !s.boils(v) {
		return air0, row{air: air0}
	}
	latent := steam.LatentHeat(v.Bath)
	heat := repeatable.Exp(t.x[hob])
	boil := (heat - s.dish.uptake(v)) / latent
	if boil < air0/2 {
		return air0 / 2, row{air: air0 / 2}
	}
	return boil, row{hob: heat / latent}
}

// lose lets the water of one instant go, and what is known grow old.
func (s *State) lose(rig Rig, v Sight) {
	kg, slope := s.rate(rig, v)
	for i := range slope {
		slope[i] *= v.Seconds
	}
	s.thought.lose(kg*v.Seconds, slope)
	walk := hobWalk
	if v.Lit && !s.turned && s.boiled > 0 && s.now-s.boiled < unsaidS {
		walk = hobUnsaid
		s.drift(rig, v.Seconds)
	}
	p := &s.thought.p[hob][hob]
	*p = math.Min(square(0.6), *p+float64(walk*v.Seconds))
}

// drift leans an unsaid turn-down towards a simmer.
func (s *State) drift(rig Rig, seconds float64) {
	ln, _ := rig.simmer()
	x := &s.thought.x[hob]
	*x += float64(seconds / unsaidS * (ln - *x))
}
