package rules

import (
	"time"
)

// course is how a batch goes on: its phase and what was done.
type course struct {
	phase   Phase
	since   time.Duration // in this phase
	begun   bool          // a batch is, or was, in hand
	pass    int
	passes  int // macerations whose hold was judged at a strain
	lit     bool
	topUps  int
	lastIn  time.Duration // of the last water poured in, logged
	poured  bool          // lastIn means something
	verdict Verdict
	anyCut  bool // a maceration of this batch was cut short
	spoiled bool
}

const (
	// Dripping through a cloth without pressing takes some ten minutes, and the
	// water another twenty to sink (common practice, no source). They only
	// choose the sentence on the page.
	strainingFor = 10 * time.Minute
	settlingFor  = 20 * time.Minute
	// A bath that nobody lit does not warm by this much in five minutes.
	unloggedRise   = 3.0 // K
	unloggedWithin = 5 * time.Minute
	// Water this hot in a pan that nobody lit was lit before we looked.
	unloggedHot = 70.0 // °C
)

func (c *course) to(p Phase, at time.Duration) {
	if c.phase != p {
		c.phase, c.since = p, at
	}
}

func (c *course) ended() bool { return c.phase == Bottled || c.phase == Abandoned }

// begin opens a batch unless one is open.
func (s *State) begin(at time.Duration) {
	if s.Begun() {
		return
	}
	*s = State{now: s.now} // a batch is judged from its own inputs alone
	s.course = course{begun: true, since: at, pass: 1}
}

// did takes an operator event into the course of the batch.
func (s *State) did(cfg *Config, e Event, at time.Duration) {
	c := &s.course
	switch e.Kind {
	case Fill, TopUp:
		s.begin(at)
		c.lastIn, c.poured = at, true
		if e.Kind == TopUp {
			if !s.answers(e) {
				c.topUps++
			}
		}
		s.pour(cfg, e)
	case Charge:
		s.begin(at)
		s.water.Charged(cfg.panRig())
	case Light:
		s.begin(at)
		s.light(at)
	case TurnDown:
		s.water.TurnedDown(cfg.panRig())
	case Strain:
		if c.begun && !c.ended() {
			s.judgeHold(cfg)
			c.lit = false
			c.to(Straining, at)
		}
	case Recharge:
		s.recharge(cfg, at)
	case Bottle:
		if c.begun {
			s.judgeHold(cfg)
			c.lit = false
			c.to(Bottled, at)
			s.bottling = judgeWarmBottling(cfg, s)
		}
	case Abandon:
		if c.begun {
			c.lit = false
			c.spoiled, c.verdict = true, Spoiled
			c.to(Abandoned, at)
		}
	}
}

// recharge begins the next maceration. Fresh herb goes in once the old one is
// out, so a strain that nobody entered has happened all the same. A batch that
// begins with a recharge had its earlier macerations unwatched.
func (s *State) recharge(cfg *Config, at time.Duration) {
	c := &s.course
	if s.Begun() {
		s.judgeHold(cfg)
		c.lit = false
		c.pass++
	}
	s.begin(at)
	s.water.Charged(cfg.panRig())
	s.hold.again()
	s.short, s.simmer, s.bare = shortMemory{}, simmerMemory{}, bareMemory{}
	s.light(at)
}

// light notes that the heat is on.
func (s *State) light(at time.Duration) {
	c := &s.course
	if c.lit {
		return
	}
	c.lit = true
	s.boil = boilMemory{}
	c.to(Heating, at)
}

// noticeHeat finds a bath that is being heated though nobody logged it. It
// changes nothing: whoever feeds the inputs enters the event, so that it stands
// in the record and a fold from there on finds it.
func (s *State) noticeHeat(v *sight) bool {
	c := &s.course
	idle := c.phase == Idle || c.ended()
	if c.lit || !idle || !v.bath.good {
		return false
	}
	if !s.Begun() && s.frames <= 1 && v.bath.c >= unloggedHot {
		return true
	}
	return v.bath.c > 30 && v.bath.risesThroughout(v.now, unloggedWithin, unloggedRise)
}

// risesThroughout reports whether the probe rose by k or more over a window, and
// by its share in each half: hot water from a kettle lifts it once and no more.
func (p *probe) risesThroughout(at, window time.Duration, k float64) bool {
	early, late, whole := p.halves(at, window)
	least := k / window.Seconds()
	return whole && early.slope >= least && late.slope >= least
}

// age moves the batch through the phases that need no event.
func (s *State) age(cfg *Config, v *sight) {
	c := &s.course
	switch {
	case c.phase == Heating && v.oil.good && v.oil.c >= v.floor && !s.swapped.is:
		c.to(Holding, v.now)
	case c.phase == Straining && v.now-c.since >= strainingFor:
		c.to(Settling, v.now)
	case c.phase == Settling && v.now-c.since >= settlingFor:
		c.to(Cooling, v.now)
	}
}

// judgeHold closes the books on the hold of the maceration that ends.
func (s *State) judgeHold(cfg *Config) {
	c := &s.course
	if !c.lit && c.phase != Heating && c.phase != Holding {
		return
	}
	if s.hold.enough(cfg) {
		c.passes++
	} else {
		c.anyCut = true
		s.short.cut, s.short.had = true, s.hold.done
	}
	c.lit = false // it is in passes now
	s.updateVerdict(cfg)
}

// updateVerdict says of the batch what is certain by now.
func (s *State) updateVerdict(cfg *Config) {
	c := &s.course
	held := c.passes
	if c.lit && s.hold.enough(cfg) {
		held++
	}
	switch {
	case c.spoiled:
		c.verdict = Spoiled
	case c.anyCut:
		c.verdict = Short
	case held >= cfg.Recipe.Macerations && held >= c.pass:
		c.verdict = Held
	default:
		c.verdict = Open
	}
}
