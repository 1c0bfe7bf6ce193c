package cutout

import (
	"fmt"
	"time"
)

// State is what a cut-out remembers. The zero State knows nothing, so that the
// heat is off. Give it the Trip that the record holds before the first input.
type State struct {
	Trip Trip

	poll   Poll          // the newest
	seen   bool          // there was a poll in which the bath was seen
	seenAt time.Duration // the newest such
	ended  bool
}

// Verdict is what follows.
type Verdict struct {
	Allow   bool          // the heat may be on
	Why     string        // in words for people
	Holds   time.Duration // so long if no other input comes; 0: for ever
	Refused string        // why a Reset was not granted; empty: it was
}

// String is the verdict as people should read it.
func (v Verdict) String() string {
	word := "heat off"
	if v.Allow {
		word = "heat allowed"
	}
	return fmt.Sprintf("%s: %s (%s)", word, v.Why, Caution)
}

// Decide says whether the heat may be on. It is pure: the same inputs give the
// same verdicts.
func Decide(s State, in Input) (State, Verdict) {
	refused := ""
	switch in.What {
	case Polled:
		s = s.polled(in)
	case Reset:
		if refused = s.refuses(in); refused == "" {
			s.Trip = Trip{}
		}
	case End:
		s.ended = true
	}
	v := s.judge(in.At)
	v.Refused = refused
	return s, v
}

func (s State) polled(in Input) State {
	s.poll = in.Poll
	if in.Poll.Seen {
		s.seen, s.seenAt = true, in.At
	}
	// An alarm counts even if the probes were silent in this poll: it stands.
	// What cut the heat first is the reason that is kept.
	if id, stands := in.Poll.gravest(); stands && !s.Trip.Set {
		s.Trip = Trip{Set: true, Alarm: id}
	}
	return s
}

// fresh says how long the newest poll will still count; 0 if it does not. A clock
// that went back makes it count for nothing.
func (s State) fresh(at time.Duration) time.Duration {
	if age := at - s.seenAt; s.seen && age >= 0 && age < Fresh {
		return Fresh - age
	}
	return 0
}

func (s State) judge(at time.Duration) Verdict {
	fresh := s.fresh(at)
	id, hidden, isHidden := s.poll.hidden()
	switch {
	case s.ended:
		return Verdict{Why: "the daemon is ending"}
	case s.Trip.Set:
		return Verdict{Why: fmt.Sprintf("%s cut it; it stays off until somebody resets the cut-out", s.Trip.Alarm)}
	case !s.seen:
		return Verdict{Why: "the bath has not been read yet"}
	case fresh == 0:
		return Verdict{Why: fmt.Sprintf("the bath was not read for %v", Fresh)}
	case isHidden:
		return Verdict{Why: fmt.Sprintf("%s is %s, so nobody sees whether it stands", id, hidden)}
	}
	return Verdict{Allow: true, Why: "the bath is read, and is neither dry nor too hot", Holds: fresh}
}

// refuses says why a reset cannot be granted, and what to do first.
func (s State) refuses(in Input) string {
	stands, open := s.poll.gravest()
	id, hidden, isHidden := s.poll.hidden()
	switch {
	case in.Who == "":
		return "say who resets it"
	case s.ended:
		return "the daemon is ending"
	case !s.Trip.Set:
		return "nothing is to be reset: no alarm cut the heat"
	case open:
		return fmt.Sprintf("%s still stands: see to the bath, then acknowledge and reset the alarm", stands)
	case isHidden:
		return fmt.Sprintf("%s is %s: take it back first, so that it can be seen", id, hidden)
	case s.fresh(in.At) == 0:
		return fmt.Sprintf("the bath was not read for %v: mend that first", Fresh)
	}
	return ""
}
