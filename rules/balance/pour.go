package balance

import (
	"math"

	"bainward/rules/steam"
)

const (
	// pourError: a kitchen jug is read to some 3 %, and people round (common
	// practice, no source).
	pourError, roundingKg = 0.03, 0.02
	// backSDMM: after a top-up the water stands where it stood at first, to
	// about so much: one pours until it looks right (common practice).
	backSDMM = 10.0
	// answerS: an amount that is entered so soon after a pour was seen is that
	// pour's.
	answerS = 600.0
)

// Poured takes water put into the pan, kg; NaN means that nobody said how
// much. First says that the pan was empty before.
func (s *State) Poured(rig Rig, kg float64, first bool) {
	if !s.has {
		s.begin(rig)
	}
	if math.IsNaN(kg) && s.Asks() {
		return // the entry of the pour that was seen: it is reckoned already
	}
	s.takeBack()
	t := &s.thought
	switch {
	case math.IsNaN(kg):
		s.pouredUnsaid(rig)
	case first && !s.filled:
		t.forget(inPan, kg, quadrature(roundingKg, pourError*kg))
		s.filled, s.fillKg = true, kg
		s.hearCover(rig)
	default:
		t.x[inPan] += kg
		t.p[inPan][inPan] += square(roundingKg) + square(pourError*kg)
		if first {
			s.fillKg += kg
		} else {
			s.hearLevel(rig)
		}
	}
	s.stir()
}

func quadrature(a, b float64) float64 { return math.Sqrt(float64(a*a) + float64(b*b)) }

// stir notes that the bath is out of its balance for a while.
func (s *State) stir() {
	s.stirred = s.now
	s.slope = window{}
	s.due = tellEvery
}

// SinceStirred returns the seconds since water was last poured in, entered or
// seen, or is just being seen.
func (s *State) SinceStirred() float64 {
	if s.dip.falling {
		return 0
	}
	return s.now - s.stirred
}

// hearCover: who fills a pan covers the base of the dish.
func (s *State) hearCover(rig Rig) {
	m, _ := s.thought.of(margin)
	s.thought.hear(margin, rig.over(coverMM)-m, square(rig.over(coverSDMM)))
}

// margin is the water over the base.
var margin = row{inPan: 1, toWet: -1}

// hearLevel: who tops up sees the water, and pours until it stands about where
// it stood.
func (s *State) hearLevel(rig Rig) {
	v := square(rig.over(backSDMM))
	if s.filled {
		s.thought.hear(row{inPan: 1}, s.fillKg-s.thought.x[inPan], v)
		return
	}
	s.hearCover(rig)
}

// pouredUnsaid: somebody topped up and did not say how much.
func (s *State) pouredUnsaid(rig Rig) {
	t := &s.thought
	m, _ := t.of(margin)
	add := math.Max(0.1, rig.over(coverMM)-m)
	t.x[inPan] += add
	t.p[inPan][inPan] += square(0.6 * add)
	s.hearLevel(rig)
}

// Asks reports whether water was seen going in and nobody has said how much.
func (s *State) Asks() bool { return s.Seen.Open && s.now-s.Seen.At <= answerS }

// takeBack takes back what was reckoned for a pour that was seen, when the
// maker says what it was.
func (s *State) takeBack() {
	if !s.Asks() {
		return
	}
	s.Seen.Open = false
	t := &s.thought
	t.x[inPan] = math.Max(0, t.x[inPan]-s.Seen.Kg)
	t.p[inPan][inPan] = math.Max(1e-4, t.p[inPan][inPan]-square(seenRel*s.Seen.Kg))
}

// dip follows a sudden fall of the bath: cold water, or the end of the water.
type dip struct {
	at, c      [dipLen]float64 // the last readings, by time
	n          int
	falling    bool
	since      float64 // s
	from       float64 // °C before it fell
	low        float64
	lowAt      float64
	quietUntil float64 // a fall before this has another reason
	noise      float64 // of single readings, K
	last       float64
	lastAt     float64 // when a fall last ended in a climb, and how deep it was
	lastDepth  float64 // K; 0: never
}

const (
	dipLen = 16
	// dipWithin: cold water has mixed, and the probe followed most of the way.
	dipWithin = 30.0
	// dipK: a boil shakes a probe by a few tenths; a hob that goes out cools two
	// litres by 3 K a minute at most.
	dipK   = 1.3
	dipUpK = 0.3 // so much it must have climbed back
	// swingS: falls that come again within so long are a hob that switches on and
	// off under a probe in steam, not one jug after the other.
	swingS  = 600.0
	dipGive = 150.0 // a fall longer than this is no pour
	// seenRel: how much a dip tells of the water that made it. It may have been
	// warm, and have missed the probe or run over it.
	seenRel = 0.35
)

// watchDip notices water that was poured in and not entered.
func (s *State) watchDip(rig Rig, v Sight) {
	d := &s.dip
	hot := d.hottest(s.now)
	d.keep(s.now, v.Bath)
	switch {
	case !v.Lit:
		d.falling = false
	case d.falling:
		s.judgeDip(rig, v)
	case s.now > d.quietUntil && hot-v.Bath > dipK+float64(4*d.noise) && (s.boiled > 0 || hot > 60):
		d.falling, d.since, d.from = true, s.now, hot
		d.low, d.lowAt = v.Bath, s.now
	}
}

// hottest is the mean of the two hottest readings lately: one may be a bubble.
func (d *dip) hottest(now float64) float64 {
	a, b := math.Inf(-1), math.Inf(-1)
	for i := range min(d.n, dipLen) {
		// The last one always counts, however long ago, or a slow trace has none.
		if d.at[i] < now-dipWithin-1 && i != (d.n-1)%dipLen {
			continue
		}
		switch c := d.c[i]; {
		case c > a:
			a, b = c, a
		case c > b:
			b = c
		}
	}
	if math.IsInf(b, -1) {
		return a
	}
	return (a + b) / 2
}

func (d *dip) keep(now, c float64) {
	if d.n > 0 {
		w := 1.0 / 64
		step := math.Min(0.5, math.Abs(c-d.last))
		d.noise += float64(w * (step - d.noise))
	}
	d.last = c
	if d.n > 0 && now-d.at[(d.n-1)%dipLen] < 2.5 {
		return
	}
	d.at[d.n%dipLen], d.c[d.n%dipLen] = now, c
	d.n++
}

// judgeDip waits until the fall has ended and says what it was.
func (s *State) judgeDip(rig Rig, v Sight) {
	d := &s.dip
	if v.Bath < d.low {
		d.low, d.lowAt = v.Bath, s.now
	}
	switch {
	case s.now-s.stirred < dipGive && s.stirred >= d.since-90:
		d.falling, d.quietUntil = false, s.now+60 // an entered pour
	case s.now-d.since > dipGive:
		d.falling, d.quietUntil = false, s.now+60
	case v.Bath > d.low+dipUpK && s.now-d.lowAt > 8:
		d.falling, d.quietUntil = false, s.now+60
		s.sawPour(rig, v)
	}
}

// nearlyDry: with less than a third of what wets the base in the pan, a fall is
// more likely the end of the water than more of it.
const nearlyDry = 0.35

// NearlyDry reports whether, by reckoning, hardly any water is left.
func (s *State) NearlyDry() bool {
	return s.has && s.thought.x[inPan] < nearlyDry*s.thought.x[toWet]
}

// sawPour reckons how much cold water made the dip.
func (s *State) sawPour(rig Rig, v Sight) {
	d := &s.dip
	t := &s.thought
	depth := d.from - d.low
	again := s.now-d.lastAt < swingS && depth < 2*d.lastDepth
	d.lastAt, d.lastDepth = s.now, depth
	if again || s.NearlyDry() {
		return
	}
	tap := 15.0
	if s.tapSeen {
		tap = s.tapC
	}
	c := steam.HeatCapacity(v.Bath)
	takes := float64(c*t.x[inPan]) + rig.follows()
	kg := takes * (d.from - d.low) / (c * math.Max(20, d.low-tap))
	kg = math.Min(kg, math.Max(0.5, t.x[toWet])) // more would not go in beside the dish
	s.Seen.Pours++
	s.Seen.At, s.Seen.Kg, s.Seen.Open = s.now, kg, true
	t.x[inPan] += kg
	t.p[inPan][inPan] += square(seenRel * kg)
	s.hearLevel(rig)
	s.stirred = d.since
	s.slope = window{}
	s.due = tellEvery
}
