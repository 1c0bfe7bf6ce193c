package app

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"bainward/daemon/record"
	"bainward/rules/alarm"
)

// judge compares three witnesses: the record, the letterbox, and the order in
// which the daemons said what they did. It prints the figures.
func (r *trial) judge(took time.Duration, wanted int) {
	r.t.Helper()
	p := r.recall()
	fated := r.arrivals(p)
	killed, unanswered := r.repeats(p)
	after, inFlight := r.afterAnswers(p), r.inFlight(p)
	s := r.silent(p)
	faults, words := 0, []string{}
	for f := range fates {
		if f.fault() {
			faults += fated[f]
		}
		words = append(words, fmt.Sprint(fated[f], " ", fateWords[f]))
	}
	r.t.Logf("%d calls, %d notices, %d tries in the record; %d kills; in %s", len(p.calls), len(p.notices), p.tries, r.kills, took.Round(time.Second))
	r.t.Logf("%d requests, %d of them faults: %s", len(r.box.posts), faults, strings.Join(words, ", "))
	r.t.Logf("notices that arrived again: %d because a kill came before the record had it, %d because their answer was lost", killed, unanswered)
	r.t.Logf("repeated after the answer was recorded: %d; already on their way by then: %d", after, inFlight)
	r.t.Logf("lost: %d; heard by nobody, yet not lost: %d were answered on the page first, %d medium or low ones were over by themselves first, "+
		"%d went with a batch that the daemon saw begin (%d of these high or critical)", s.lost, s.answered, s.over, s.noticed, s.noticedGrave)
	if len(p.calls) < wanted {
		r.t.Errorf("only %d calls, want %d", len(p.calls), wanted)
	}
	// Else the trial would not try what it is for.
	if unheard := s.answered + s.over + s.noticed; unheard > len(p.calls)/4 {
		r.t.Errorf("%d of %d calls were over before anybody could hear of them", unheard, len(p.calls))
	}
}

// arrivals puts what the letterbox took beside the notices. What arrives is in
// the record, and what the record says was delivered has arrived.
func (r *trial) arrivals(p *past) (fated [fates]int) {
	r.t.Helper()
	for _, post := range r.box.posts {
		fated[post.fate]++
		n := p.notices[post.notice]
		switch {
		case n == nil:
			r.t.Errorf("notice %s arrived and is not in the record", post.notice)
		case post.fate.took():
			n.arrived = append(n.arrived, post)
			for _, id := range n.calling() {
				p.calls[id].heard = true
			}
		}
	}
	for id, n := range p.notices {
		if n.delivered != never && len(n.arrived) == 0 {
			r.t.Errorf("notice %s is recorded as delivered and has not arrived", id)
		}
	}
	return fated
}

// repeats counts the notices that arrived again, by reason. There are two: a kill
// before the record knew, and an answer that was lost. Once its delivery is in the
// record none leaves again.
func (r *trial) repeats(p *past) (killed, unanswered int) {
	r.t.Helper()
	for _, l := range r.left {
		if n := p.notices[l.notice]; n != nil && n.delivered != never && l.life > n.delivered {
			r.t.Errorf("notice %s left again in life %d, though life %d recorded its delivery", l.notice, l.life, n.delivered)
		}
	}
	for id, n := range p.notices {
		for i := 1; i < len(n.arrived); i++ {
			switch before := n.arrived[i-1]; {
			case before.fate == cutOff:
				unanswered++
			case before.life != n.arrived[i].life:
				killed++
			default:
				r.t.Errorf("notice %s arrived twice in life %d, though the first was taken", id, before.life)
			}
		}
	}
	return killed, unanswered
}

// afterAnswers counts, and refuses, what left when all that it calls about was
// over: answered, by an earlier line of the same daemon, or ended in any way in
// the record of a daemon before it, which may have been killed before it said so.
func (r *trial) afterAnswers(p *past) (after int) {
	r.t.Helper()
	for _, l := range r.left {
		n := p.notices[l.notice]
		if n == nil {
			r.t.Errorf("notice %s left and is not in the record", l.notice)
			continue
		}
		ids := n.calling()
		isOpen := func(id string) bool {
			reported, known := r.ended[id]
			return (!known || reported.line > l.line) && p.calls[id].endLife >= l.life
		}
		if len(ids) > 0 && !slices.ContainsFunc(ids, isOpen) {
			after++
			r.t.Errorf("notice %s (%s) left in life %d when all that it calls about was over: %v", n.ID, n.Why, l.life, ids)
		}
	}
	return after
}

// inFlight counts the requests that reached the letterbox after the parent had
// read of the last answer to their calls. afterAnswers has refused those that
// left after it; every other one must have left, and so before it.
func (r *trial) inFlight(p *past) (n int) {
	r.t.Helper()
	left := map[leave]bool{}
	for _, l := range r.left {
		left[leave{notice: l.notice, life: l.life}] = true
	}
	for _, post := range r.box.posts {
		if !left[leave{notice: post.notice, life: post.life}] {
			r.t.Errorf("notice %s arrived from life %d without having left", post.notice, post.life)
		}
		if known := p.notices[post.notice]; known != nil && r.allAnswered(known.calling(), post.at) {
			n++
		}
	}
	return n
}

// allAnswered reports whether the parent had read by then that all of these calls
// are answered.
func (r *trial) allAnswered(ids []string, then time.Time) bool {
	return len(ids) > 0 && !slices.ContainsFunc(ids, func(id string) bool {
		reported, known := r.ended[id]
		return !known || !reported.at.Before(then)
	})
}

// silence counts the calls of which nobody heard, by what became of them.
type silence struct {
	lost     int
	answered int // somebody saw the alarm on the page before a notice arrived
	over     int // medium or low, and away by itself before a notice arrived
	// noticed went with the alarms of a batch that had ended, when the readings
	// showed the next one (alarm.Book.Clear says why); noticedGrave were high or
	// critical. A cause that still stands opens another call.
	noticed, noticedGrave int
}

// silent refuses a call that was opened and of which nobody heard though it was
// open until the end, or ended without a person and is one that insists on one.
func (r *trial) silent(p *past) (s silence) {
	r.t.Helper()
	for id, c := range p.calls {
		grave := c.opened.Priority == alarm.High.String() || c.opened.Priority == alarm.Critical.String()
		switch {
		case c.heard && c.endLife != never:
		case c.endLife == never:
			s.lost++
			r.t.Errorf("call %s is still open, and heard of: %t", id, c.heard)
		case c.end.State == record.Answered:
			s.answered++
		case c.noticed && grave:
			s.noticedGrave++
			s.noticed++
		case c.noticed:
			s.noticed++
		case grave:
			s.lost++
			r.t.Errorf("call %s, %s, was heard by nobody and ended as %q without a person", id, c.opened.Priority, c.end.How)
		default:
			s.over++
		}
	}
	return s
}
