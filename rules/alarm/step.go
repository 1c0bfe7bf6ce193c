package alarm

import (
	"time"

	"bainward/rules"
)

// one is the life of one alarm.
type one struct {
	state State
	since time.Duration
	until time.Duration // of a shelf; 0 off the shelf
	// raisedSince and clearSince time the delays.
	raisedSince, clearSince time.Duration
	timing                  bool // raisedSince runs
	easing                  bool // clearSince runs
	active                  bool // the finding, with its delays
	// latched: an alarm that latches came, and nobody has reset it since. The
	// memory outlives a shelf and a suppression: what happened there must still
	// be seen by somebody.
	latched bool
	last    rules.Finding
}

// Book holds the life of every alarm of one bath. The zero Book is all normal.
type Book struct {
	alarms [rules.IDCount]one
}

// State returns the state of an alarm.
func (b *Book) State(id rules.ID) State { return b.alarms[id].state }

// Since returns the offset at which an alarm came into its state.
func (b *Book) Since(id rules.ID) time.Duration { return b.alarms[id].since }

// Until returns the offset at which a shelved alarm comes back, 0 if it is not
// shelved.
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
		if a.active && a.state != OutOfService && rationale[id].Latched {
			a.latched = true
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

// next is the state diagram: which state follows from the cause alone. Out of
// service goes before suppressed, and suppressed before shelved: a shelf does
// not outlive a suppression, so that the alarm is heard again afterwards.
func (a *one) next(id rules.ID, at time.Duration, suppressed bool) State {
	switch {
	case a.state == OutOfService:
		return OutOfService
	case suppressed:
		return SuppressedByDesign
	case a.state == Shelved && at < a.until:
		return Shelved
	case a.state == SuppressedByDesign, a.state == Shelved:
		return a.back()
	case a.active && a.state == Acknowledged:
		return Acknowledged
	case a.active:
		return Unacknowledged // also one that returned or latched: it came again
	}
	return a.gone(rationale[id].Latched)
}

// gone is the state once the cause is.
func (a *one) gone(latches bool) State {
	switch {
	case a.state == Unacknowledged && latches:
		return LatchedUnacknowledged
	case a.state == Unacknowledged:
		return ReturnedUnacknowledged
	case a.state == Acknowledged && latches:
		return LatchedAcknowledged
	case a.state == Acknowledged:
		return Normal
	}
	return a.state
}

// back is the state of an alarm that comes back from the shelf, from a
// suppression or into service. What stands calls again, also if it was
// acknowledged before.
func (a *one) back() State {
	switch {
	case a.active:
		return Unacknowledged
	case a.latched:
		return LatchedUnacknowledged
	}
	return Normal
}

func (b *Book) to(id rules.ID, next State, at time.Duration, out *Changes) {
	a := &b.alarms[id]
	if next == a.state {
		return
	}
	out.add(Change{Alarm: id, From: a.state, To: next, Priority: rationale[id].Priority, Finding: a.last})
	a.state, a.since, a.until = next, at, 0
	if next == Normal || next == OutOfService {
		a.latched = false // somebody reset it, or took it away with a reason
	}
	if next == Normal && !a.active {
		a.last = rules.Finding{}
	}
}

// Clear puts every alarm back to normal for a new batch, but for those that a
// person took out of service: they wait for a person. One that nobody answered
// goes too, be it critical: a batch is judged from its own inputs alone, or it
// could not be folded again from its record. A cause that still stands calls
// anew within its on-delay.
func (b *Book) Clear(at time.Duration, out *Changes) {
	for id := range rules.IDCount {
		if b.alarms[id].state == OutOfService {
			continue
		}
		b.to(id, Normal, at, out)
		b.alarms[id] = one{since: at}
	}
}
