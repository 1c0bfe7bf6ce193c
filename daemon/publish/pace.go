package publish

import (
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/fold"
	"bainward/sensors"
)

// interval is the shortest time between two states of one bath of which
// nothing of note changed.
const interval = time.Second

// pace says when a bath's state is due. The zero pace has sent nothing yet.
type pace struct {
	due  time.Time // of the newest state, sent or not
	last notable
}

// notable is what people act on; a change of it does not wait.
type notable struct {
	batch   string
	phase   rules.Phase
	pass    int
	topUps  int
	verdict rules.Verdict
	faults  [sensors.RoleCount]sensors.Fault
	alarms  [rules.IDCount]alarm.State
	asks    bool
	gone    bool // the herb's water
}

func notableOf(s fold.Snapshot) notable {
	n := notable{s.Batch, s.Phase, s.Pass, s.TopUps, s.Verdict, s.Faults, [rules.IDCount]alarm.State{}, s.Asks, s.Estimate.HerbGone}
	for id, a := range s.Alarms {
		n.alarms[id] = a.State
	}
	return n
}

// next returns when s, announced at now, is due. Between two states of which
// nothing of note changed lies at least one interval; a state that waits is
// replaced by the next and goes out when it would have.
func (p *pace) next(s fold.Snapshot, now time.Time) time.Time {
	n := notableOf(s)
	switch {
	case p.due.IsZero() || n != p.last:
		p.due = now
	case !p.due.After(now): // the one before is out
		if p.due = p.due.Add(interval); p.due.Before(now) {
			p.due = now
		}
	}
	p.last = n
	return p.due
}
