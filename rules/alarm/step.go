package alarm

import (
	"fmt"
	"time"

	"bainward/rules"
)

// MaxShelf is the longest time for which an alarm can be shelved at once: a
// shelved alarm must come back within the same maceration.
const MaxShelf = 30 * time.Minute

// one is the life of one alarm.
type one struct {
	state State
	since time.Duration
	until time.Duration // of a shelf
	// raisedSince and clearSince time the delays; -1 when not running.
	raisedSince, clearSince time.Duration
	timing                  bool // raisedSince runs
	easing                  bool // clearSince runs
	active                  bool // the finding, with its delays
	last                    rules.Finding
}

// Book holds the life of every alarm of one bath. The zero Book is all normal.
type Book struct {
	alarms [rules.IDCount]one
}

// State returns the state of an alarm.
func (b *Book) State(id rules.ID) State { return b.alarms[id].state }

// Since returns the offset at which an alarm came into its state.
func (b *Book) Since(id rules.ID) time.Duration { return b.alarms[id].since }

// Until returns the offset at which a shelved alarm comes back.
func (b *Book) Until(id rules.ID) time.Duration { return b.alarms[id].until }

// Finding returns what the rule said when the alarm last stood.
func (b *Book) Finding(id rules.ID) rules.Finding { return b.alarms[id].last }

// Changes holds what changed in one step, in order.
type Changes struct {
	list [2 * rules.IDCount]Change
	n    int
}

// All returns the changes.
func (c *Changes) All() []Change { return c.list[:c.n] }

func (c *Changes) add(ch Change) {
	if c.n < len(c.list) {
		c.list[c.n] = ch
		c.n++
	}
}

// Step takes the findings of one instant into the life of the alarms.
// suppressed tells which alarms are silent by design now.
func (b *Book) Step(at time.Duration, found *rules.Findings, suppressed func(rules.ID) bool, out *Changes) {
	for id := range rules.IDCount {
		a := &b.alarms[id]
		a.delay(id, found[id], at)
		if found[id].Level == rules.Raised {
			a.last = found[id]
		}
		silent := suppressed != nil && suppressed(id)
		if silent {
			a.active, a.timing, a.easing = false, false, false // judged anew afterwards
		}
		next := a.next(id, at, silent)
		b.to(id, next, at, out)
	}
}

// delay turns a finding into an active or inactive cause. A rule that cannot
// judge changes nothing, neither the cause nor its delays: an alarm does not go
// away because its probe did, nor stay away because its probe flickers.
func (a *one) delay(id rules.ID, f rules.Finding, at time.Duration) {
	r := &rationale[id]
	switch f.Level {
	case rules.Raised:
		a.easing = false
		if !a.timing {
			a.timing, a.raisedSince = true, at
		}
		if at-a.raisedSince >= r.OnDelay {
			a.active = true
		}
	case rules.Clear:
		a.timing = false
		if !a.easing {
			a.easing, a.clearSince = true, at
		}
		if at-a.clearSince >= r.OffDelay {
			a.active = false
		}
	}
}

// next is the state diagram: which state follows from the cause alone.
func (a *one) next(id rules.ID, at time.Duration, suppressed bool) State {
	latched := rationale[id].Latched
	switch {
	case a.state == OutOfService:
		return OutOfService
	case suppressed:
		return SuppressedByDesign
	case a.state == Shelved && at < a.until:
		return Shelved
	case a.state == SuppressedByDesign, a.state == Shelved:
		if a.active {
			return Unacknowledged
		}
		return Normal
	case a.active:
		switch a.state {
		case Acknowledged, LatchedAcknowledged:
			if a.state == LatchedAcknowledged {
				return Unacknowledged // it came again
			}
			return Acknowledged
		}
		return Unacknowledged
	}
	switch a.state { // the cause is gone
	case Unacknowledged:
		if latched {
			return LatchedUnacknowledged
		}
		return ReturnedUnacknowledged
	case Acknowledged:
		if latched {
			return LatchedAcknowledged
		}
		return Normal
	}
	return a.state
}

func (b *Book) to(id rules.ID, next State, at time.Duration, out *Changes) {
	a := &b.alarms[id]
	if next == a.state {
		return
	}
	out.add(Change{Alarm: id, From: a.state, To: next, Priority: rationale[id].Priority, Finding: a.last})
	a.state, a.since = next, at
	if next == Normal && !a.active {
		a.last = rules.Finding{}
	}
}

// Clear puts every alarm back to normal for a new batch, but for those that a
// person took out of service: they wait for a person.
func (b *Book) Clear(at time.Duration, out *Changes) {
	for id := range rules.IDCount {
		if b.alarms[id].state == OutOfService {
			continue
		}
		b.to(id, Normal, at, out)
		b.alarms[id] = one{since: at}
	}
}

// Do carries out what a person asked for, or says why it cannot be done.
func (b *Book) Do(at time.Duration, c Command, out *Changes) error {
	if c.Alarm >= rules.IDCount {
		return fmt.Errorf("%s: no such alarm", c.Action)
	}
	a := &b.alarms[c.Alarm]
	next, err := a.ask(c, at)
	if err != nil {
		return fmt.Errorf("%s %s: %w", c.Action, c.Alarm, err)
	}
	if c.Action == Shelve {
		a.until = at + c.For
	}
	b.to(c.Alarm, next, at, out)
	return nil
}

// ask finds the state that follows from an action in the present state.
func (a *one) ask(c Command, at time.Duration) (State, error) {
	switch c.Action {
	case Acknowledge:
		switch a.state {
		case Unacknowledged:
			return Acknowledged, nil
		case ReturnedUnacknowledged:
			return Normal, nil
		case LatchedUnacknowledged:
			return LatchedAcknowledged, nil
		}
		return a.state, fmt.Errorf("it is %s, there is nothing to acknowledge", a.state)
	case Reset:
		if a.state == LatchedAcknowledged {
			return Normal, nil
		}
		return a.state, fmt.Errorf("it is %s; only a latched alarm that was acknowledged can be reset", a.state)
	case Shelve:
		switch {
		case a.state == OutOfService || a.state == SuppressedByDesign || a.state == Shelved:
			return a.state, fmt.Errorf("it is %s", a.state)
		case c.For <= 0 || c.For > MaxShelf:
			return a.state, fmt.Errorf("shelve it for 1 s to %s, not %s", MaxShelf, c.For)
		case c.Reason == "":
			return a.state, fmt.Errorf("say why")
		}
		return Shelved, nil
	case Unshelve:
		if a.state != Shelved {
			return a.state, fmt.Errorf("it is %s, not shelved", a.state)
		}
		if a.active {
			return Unacknowledged, nil
		}
		return Normal, nil
	case PutOutOfService:
		switch {
		case a.state == OutOfService:
			return a.state, fmt.Errorf("it is %s", a.state)
		case c.Reason == "":
			return a.state, fmt.Errorf("say why")
		}
		return OutOfService, nil
	case ReturnToService:
		if a.state != OutOfService {
			return a.state, fmt.Errorf("it is %s", a.state)
		}
		if a.active {
			return Unacknowledged, nil
		}
		return Normal, nil
	}
	return a.state, fmt.Errorf("unknown action")
}
