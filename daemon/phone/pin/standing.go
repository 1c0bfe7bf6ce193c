package pin

import "bainward/rules/alarm"

// Mark is the priority of the gravest of some alarms, or that there is none.
// Marks can be compared: the greater is the graver.
type Mark uint8

// None is the mark of no alarm.
const None Mark = 0

// MarkOf returns the mark of a priority.
func MarkOf(p alarm.Priority) Mark { return Mark(p) + 1 }

// Priority returns the priority that is marked, and false for None.
func (m Mark) Priority() (alarm.Priority, bool) {
	if m == None {
		return alarm.Low, false
	}
	return alarm.Priority(m - 1), true
}

func (m Mark) String() string {
	if p, ok := m.Priority(); ok {
		return p.String()
	}
	return "none"
}

// Standing is what a pin shows: what stands at all baths that can be heard from
// it. The zero Standing is that nothing does.
type Standing struct {
	Unanswered Mark // alarms that nobody has answered yet: for a pattern
	Open       Mark // alarms that stand or wait, answered or not: for a steady pin
	Quiet      bool // low alarms make no sign now
}

// With returns s with one alarm more, in the given state.
func (s Standing) With(state alarm.State, p alarm.Priority) Standing {
	if !state.Open() {
		return s
	}
	s.Open = max(s.Open, MarkOf(p))
	switch state {
	case alarm.Unacknowledged, alarm.ReturnedUnacknowledged, alarm.LatchedUnacknowledged:
		s.Unanswered = max(s.Unanswered, MarkOf(p))
	}
	return s
}

// shown is the mark that a pin with these options shows for s.
func (o Options) shown(s Standing) Mark {
	m := s.Unanswered
	if o.Steady {
		m = s.Open
	}
	if m < MarkOf(o.Least) || s.Quiet && m == MarkOf(alarm.Low) {
		return None
	}
	return m
}
