package alarm

import (
	"errors"
	"fmt"
	"time"

	"bainward/rules"
)

// MaxShelf is the longest time for which an alarm can be shelved at once: a
// shelved alarm must come back within the same maceration.
const MaxShelf = 30 * time.Minute

var errNoReason = errors.New("say why")

// Do carries out what a person asked for, or says why it cannot be done; then
// nothing changed.
func (b *Book) Do(at time.Duration, c Command, out *Changes) error {
	if c.Alarm >= rules.IDCount {
		return fmt.Errorf("%s: no such alarm", c.Action)
	}
	a := &b.alarms[c.Alarm]
	next, err := a.ask(c)
	if err != nil {
		return fmt.Errorf("%s %s: %w", c.Action, c.Alarm, err)
	}
	b.to(c.Alarm, next, at, out)
	if c.Action == Shelve {
		a.until = at + c.For
	}
	return nil
}

// ask finds the state that follows from an action in the present state.
func (a *one) ask(c Command) (State, error) {
	switch c.Action {
	case Acknowledge:
		return a.acknowledge()
	case Reset:
		return a.reset()
	case Shelve:
		return a.shelve(c)
	case Unshelve:
		if a.state != Shelved {
			return a.state, fmt.Errorf("it is %s, not shelved", a.state)
		}
		return a.back(), nil
	case PutOutOfService:
		return a.takeOut(c)
	case ReturnToService:
		if a.state != OutOfService {
			return a.state, fmt.Errorf("it is %s", a.state)
		}
		return a.back(), nil
	}
	return a.state, errors.New("unknown action")
}

func (a *one) acknowledge() (State, error) {
	switch a.state {
	case Unacknowledged:
		return Acknowledged, nil
	case ReturnedUnacknowledged:
		return Normal, nil
	case LatchedUnacknowledged:
		return LatchedAcknowledged, nil
	}
	return a.state, fmt.Errorf("it is %s, there is nothing to acknowledge", a.state)
}

func (a *one) reset() (State, error) {
	if a.state != LatchedAcknowledged {
		return a.state, fmt.Errorf("it is %s; only a latched alarm that was acknowledged can be reset", a.state)
	}
	return Normal, nil
}

func (a *one) shelve(c Command) (State, error) {
	switch {
	case a.state == OutOfService || a.state == SuppressedByDesign || a.state == Shelved:
		return a.state, fmt.Errorf("it is %s", a.state)
	case c.For < time.Second || c.For > MaxShelf:
		return a.state, fmt.Errorf("shelve it for 1 s to %s, not %s", MaxShelf, c.For)
	case c.Reason == "":
		return a.state, errNoReason
	}
	return Shelved, nil
}

func (a *one) takeOut(c Command) (State, error) {
	switch {
	case a.state == OutOfService:
		return a.state, fmt.Errorf("it is %s", a.state)
	case c.Reason == "":
		return a.state, errNoReason
	}
	return OutOfService, nil
}
