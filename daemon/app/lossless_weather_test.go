package app

import (
	"context"
	"math/rand/v2"
	"slices"
	"time"

	"bainward/daemon/phone/calls"
	"bainward/rules"
	"bainward/sensors"
)

// spell is what goes on in a bath for a while.
type spell struct {
	trouble trouble
	until   time.Duration
}

type trouble int

const (
	allWell  trouble = iota
	dryPan           // calls boiling-dry, critical
	hotOil           // calls overheating, critical
	blind            // calls bath-silent, high
	halfSeen         // calls probe-silent, medium
	troubles
)

// atLeast is how long a trouble must last to call somebody.
func (t trouble) atLeast() time.Duration {
	switch t {
	case dryPan:
		return 9 * time.Second
	case hotOil:
		return 12 * time.Second
	case blind:
		return 27 * time.Second
	case halfSeen:
		return 22 * time.Second
	}
	return 8 * time.Second
}

// weather is what the probes say at an instant: every bath goes from one trouble
// to the next, and is well in between.
func (c *crew) weather(at time.Duration) map[sensors.Address]sensors.Reading {
	says := map[sensors.Address]sensors.Reading{}
	for i, s := range c.stoves {
		w := &c.spells[i]
		if at >= w.until {
			w.next(at)
		}
		oil, bath := sensors.AtCelsius(92), sensors.AtCelsius(99.5)
		switch {
		case c.rests:
		case w.trouble == dryPan:
			bath = sensors.AtCelsius(108)
		case w.trouble == hotOil:
			oil = sensors.AtCelsius(103)
		case w.trouble == blind:
			oil, bath = sensors.Failed(sensors.Absent), sensors.Failed(sensors.Absent)
		case w.trouble == halfSeen:
			oil = sensors.Failed(sensors.Absent)
		}
		says[s.oil], says[s.bath] = oil, bath
	}
	return says
}

func (s *spell) next(at time.Duration) {
	if s.trouble == allWell {
		s.trouble = 1 + trouble(rand.IntN(int(troubles-1)))
	} else {
		s.trouble = allWell
	}
	s.until = at + s.trouble.atLeast() + time.Duration(rand.Int64N(int64(10*time.Second)))
}

// cook takes batches through their course where nothing is unanswered. Straining
// early calls too-short, medium, and bottling warm warm-bottling, low.
func (c *crew) cook(open []calls.Call) {
	for _, s := range c.app.Snapshots() {
		if slices.ContainsFunc(open, func(o calls.Call) bool { return o.Bath == s.Bath }) {
			continue
		}
		switch chance := rand.IntN(50); {
		case s.Phase.Over():
			c.enter(s.Bath, rules.Fill, rules.Light)
		case s.Phase.Lit() && chance == 0:
			c.enter(s.Bath, rules.Strain)
		case !s.Phase.Lit() && chance < 10:
			c.enter(s.Bath, rules.Bottle)
		}
	}
}

func (c *crew) enter(bath string, kinds ...rules.EventKind) {
	for _, k := range kinds {
		_ = c.app.Event(context.Background(), bath, rules.Event{Kind: k}, "maker")
	}
}
