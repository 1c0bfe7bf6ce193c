package calls

import (
	"slices"

	"bainward/daemon/phone/notice"
	"bainward/rules/alarm"
)

// step is one step under way.
type step struct {
	plan     *Plan
	now      Instant
	book     Book
	facts    []Fact
	standing []Standing
}

// Step takes in what happened, in order, and finds what is due at this instant.
// It returns the book that follows and the facts that made it so, in order; b
// stays as it is. It must be called once a second or so even if nothing
// happened, for what is due by time alone.
func (b *Book) Step(p *Plan, now Instant, happened []Happening) (Book, []Fact) {
	if len(happened) == 0 && len(b.open)+len(b.owed) == 0 {
		return *b, nil
	}
	s := step{plan: p, now: now, book: b.clone()}
	for _, h := range happened {
		h.happened(&s)
	}
	s.call()
	s.tellOver()
	return s.book, s.facts
}

// fact makes f hold.
func (s *step) fact(f Fact) {
	s.book.Take(s.now.At, s.now.Wall, f)
	s.facts = append(s.facts, f)
}

func (c Changed) happened(s *step) {
	what := c.Alarm.String()
	open := s.book.about(c.Bath, what)
	wants, how := outcome(c.To, c.Priority, c.By)
	switch {
	case wants && open == nil:
		fact, do, _ := s.plan.say(c.Alarm, c.Finding)
		s.standing = append(s.standing, Standing{Bath: c.Bath, Alarm: c.Alarm, State: c.To, Finding: c.Finding})
		s.open(Opened{Bath: c.Bath, What: what, Priority: c.Priority, Fact: fact, Do: do})
	case !wants && open != nil:
		s.fact(Ended{Call: open.id, How: how, Who: c.By, Via: c.Via})
	}
}

// outcome tells whether an alarm in a state wants a person, and if not, how its
// call ended.
func outcome(to alarm.State, p alarm.Priority, by string) (wants bool, how How) {
	switch to {
	case alarm.Unacknowledged:
		return true, 0
	case alarm.ReturnedUnacknowledged, alarm.LatchedUnacknowledged:
		return rungOf(p).insists, Returned
	case alarm.Acknowledged, alarm.LatchedAcknowledged:
		return false, Acknowledged
	case alarm.Shelved:
		return false, Shelved
	case alarm.OutOfService:
		return false, OutOfService
	case alarm.SuppressedByDesign:
		return false, Suppressed
	}
	if by != "" { // acknowledged after it had gone
		return false, Acknowledged
	}
	return false, Cleared
}

func (s *step) open(o Opened) {
	o.Call = s.book.opened.free(s.now.At, callID(o.Bath, o.What, s.now.At))
	s.fact(o)
}

func (st Standing) happened(s *step) { s.standing = append(s.standing, st) }

func (m Matter) happened(s *step) {
	open := s.book.about("", m.Subject)
	switch {
	case !m.Over && open == nil:
		s.open(Opened{What: m.Subject, Priority: m.Priority, Fact: m.Fact, Do: m.Do})
	case m.Over && open != nil:
		s.fact(Ended{Call: open.id, How: Cleared})
	}
}

func (a Answered) happened(s *step) {
	if s.book.find(a.Call) != nil {
		s.fact(Ended{Call: a.Call, How: Acknowledged, Who: a.Who, Via: a.Via})
	}
}

func (t Tried) happened(s *step) { s.fact(t) }

// call lets the notices leave that are due and may.
func (s *step) call() {
	var all bundles
	for i := range s.book.open {
		s.book.open[i].due(s.plan, s.now, &all)
	}
	for _, b := range all.list {
		b.sort()
		if s.book.mayLeave(s.plan, s.now.At, b.contact.Name, b.channel, b.rank(), b.firstCritical()) {
			s.issue(s.compose(b))
		}
	}
}

// tellOver tells those who were called that a call has ended.
func (s *step) tellOver() {
	var left []owed
	for rest := slices.Clone(s.book.owed); len(rest) > 0; rest = left {
		first := rest[0]
		var same []owed
		left = nil
		for _, o := range rest {
			if o.contact == first.contact && o.channel == first.channel {
				same = append(same, o)
			} else {
				left = append(left, o)
			}
		}
		if s.book.mayLeave(s.plan, s.now.At, first.contact, first.channel, rankOver, false) {
			s.issue(s.composeOver(same))
		}
	}
}

// issue gives the notice its name and makes it due.
func (s *step) issue(d Due) {
	d.ID = s.book.issued.free(s.now.At, noticeID(s.now.At))
	d.Call, d.Site = d.Calls[0], s.plan.Site
	s.fact(d)
}

// rank orders notices by what may wait for what.
type rank uint8

const (
	rankOver rank = iota
	rankLow       // and the priorities above it
)

func rankOf(k notice.Kind, p alarm.Priority) rank {
	if k == notice.Over {
		return rankOver
	}
	return rankLow + rank(p)
}
