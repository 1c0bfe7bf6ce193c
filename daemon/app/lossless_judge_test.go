package app

import (
	"fmt"
	"slices"
	"sort"
	"strings"
	"time"

	"bainward/daemon/phone/notice"
	"bainward/daemon/record"
	"bainward/rules/alarm"
)

// past is what the record says of all lives together.
type past struct {
	calls   map[string]*pastCall
	notices map[string]*pastNotice
	tries   int
	began   map[string]time.Duration // when the newest batch of a bath was opened
}

type pastCall struct {
	opened  record.Call
	end     record.Call
	endSeq  int64 // 0: it is open
	endLife int
	openSeq int64
	heard   bool // a notice of it arrived, by what the letterbox took
	byBatch bool // it ended with the opening of a batch
}

type pastNotice struct {
	record.Notice
	seq       int64
	delivered int // the life that recorded its delivery, -1: none
	arrived   []post
}

// calling reports whether it calls somebody, rather than saying that it is over.
func (n *pastNotice) calling() bool { return n.Why != notice.Over.String() }

// lifeOf is the life that wrote an entry.
func (r *trial) lifeOf(seq int64) int {
	return sort.Search(len(r.before), func(i int) bool { return r.before[i] >= seq }) - 1
}

func (r *trial) recall() *past {
	r.t.Helper()
	p := &past{calls: map[string]*pastCall{}, notices: map[string]*pastNotice{}, began: map[string]time.Duration{}}
	reader := r.read()
	defer reader.Close()
	for e, err := range reader.Entries(r.t.Context(), 1, 0) {
		if err == nil {
			err = r.take(p, e)
		}
		if err != nil {
			r.t.Fatal(err)
		}
	}
	return p
}

func (r *trial) take(p *past, e record.Entry) error {
	switch e.Kind {
	case record.KindCall:
		var b record.Call
		if err := e.Decode(&b); err != nil {
			return err
		}
		if b.State == record.Opened {
			if p.calls[b.ID] != nil {
				r.t.Errorf("call %s is opened twice", b.ID)
			}
			p.calls[b.ID] = &pastCall{opened: b, openSeq: e.Seq}
		} else if c := p.calls[b.ID]; c == nil || c.endSeq != 0 {
			r.t.Errorf("call %s ends without having been open", b.ID)
		} else {
			c.end, c.endSeq, c.endLife = b, e.Seq, r.lifeOf(e.Seq)
			at, began := p.began[e.Bath]
			c.byBatch = began && at == e.At
		}
	case record.KindBatch:
		var b record.Batch
		if err := e.Decode(&b); err != nil {
			return err
		}
		if b.State == record.Opened {
			p.began[e.Bath] = e.At
		}
	case record.KindNotice:
		n := &pastNotice{seq: e.Seq, delivered: -1}
		if err := e.Decode(&n.Notice); err != nil {
			return err
		}
		if p.notices[n.ID] != nil {
			r.t.Errorf("two notices are named %s", n.ID)
		}
		p.notices[n.ID] = n
		if n.calling() && !slices.ContainsFunc(n.Calls, func(id string) bool { return p.calls[id].endSeq == 0 }) {
			r.t.Errorf("notice %s became due when all its calls %v were over", n.ID, n.Calls)
		}
	case record.KindAttempt:
		var b record.Attempt
		if err := e.Decode(&b); err != nil {
			return err
		}
		p.tries++
		if n := p.notices[b.Notice]; n == nil {
			r.t.Errorf("a try of notice %s, which is not in the record", b.Notice)
		} else if b.Result == record.Delivered {
			n.delivered = r.lifeOf(e.Seq)
		}
	}
	return nil
}

// judge compares what the record says with what arrived and when it left.
func (r *trial) judge(took time.Duration, wanted int) {
	r.t.Helper()
	p := r.recall()
	fated := r.arrivals(p)
	again, twice := r.repeats(p)
	inFlight, after := r.afterAnswers(p)
	unheard, over, lost := r.lost(p)
	faults, words := 0, []string{}
	for f := range fates {
		if f > late {
			faults += fated[f]
		}
		words = append(words, fmt.Sprint(fated[f], " ", fateWords[f]))
	}
	r.t.Logf("%d kills, %d calls, %d notices, %d tries in the record, in %s", r.kills, len(p.calls), len(p.notices), p.tries, took.Round(time.Second))
	r.t.Logf("%d requests, %d faults: %s", len(r.box.posts), faults, strings.Join(words, ", "))
	r.t.Logf("repeats of one notice: %d after a restart, %d because the answer was lost", again, twice)
	r.t.Logf("in flight when the answer was recorded: %d; left after it: %d", inFlight, after)
	r.t.Logf("answered before they arrived: %d, over by themselves before they arrived: %d, lost: %d", unheard, over, lost)
	if len(p.calls) < wanted {
		r.t.Errorf("only %d calls, want %d", len(p.calls), wanted)
	}
}

// arrivals puts the requests that the letterbox took beside their notices.
func (r *trial) arrivals(p *past) (fated [fates]int) {
	for _, post := range r.box.posts {
		fated[post.fate]++
		n := p.notices[post.notice]
		if n == nil {
			r.t.Errorf("notice %s arrived and is not in the record", post.notice)
			continue
		}
		if post.fate.took() {
			n.arrived = append(n.arrived, post)
			if n.calling() {
				for _, id := range n.Calls {
					p.calls[id].heard = true
				}
			}
		}
	}
	for id, n := range p.notices {
		if n.delivered >= 0 && len(n.arrived) == 0 {
			r.t.Errorf("notice %s is recorded as delivered and has not arrived", id)
		}
	}
	return fated
}

// repeats counts notices that arrived twice, and refuses one that left again
// though its delivery was in the record.
func (r *trial) repeats(p *past) (again, twice int) {
	for _, l := range r.left {
		if n := p.notices[l.notice]; n != nil && n.delivered >= 0 && l.life > n.delivered {
			r.t.Errorf("notice %s left again in life %d, though life %d recorded its delivery", l.notice, l.life, n.delivered)
		}
	}
	for _, n := range p.notices {
		for i, a := range n.arrived {
			switch {
			case i == 0:
			case a.life != n.arrived[i-1].life:
				again++
			default:
				twice++
			}
		}
	}
	return
}

// afterAnswers counts what left after all its calls were answered, which is
// refused, and what was on its way by then.
func (r *trial) afterAnswers(p *past) (inFlight, after int) {
	lastLeave := map[string]leave{}
	for _, l := range r.left {
		n := p.notices[l.notice]
		if n == nil {
			r.t.Errorf("notice %s left and is not in the record", l.notice)
			continue
		}
		lastLeave[l.notice] = l
		if !n.calling() {
			continue
		}
		if !slices.ContainsFunc(n.Calls, func(id string) bool { return !r.overBefore(p, id, l) }) {
			after++
			r.t.Errorf("notice %s (%s) left in life %d after all its calls were over: %v", n.ID, n.Why, l.life, n.Calls)
		}
	}
	for _, post := range r.box.posts {
		n := p.notices[post.notice]
		if n == nil || !n.calling() {
			continue
		}
		// the last of the answers
		var since time.Time
		all := true
		for _, id := range n.Calls {
			e, ok := r.ended[id]
			if !ok {
				all = false
				break
			}
			if e.at.After(since) {
				since = e.at
			}
		}
		if all && post.at.After(since) {
			inFlight++
			if lastLeave[post.notice].notice == "" {
				r.t.Errorf("notice %s arrived without having left", post.notice)
			}
		}
	}
	return
}

// overBefore reports whether a call was over when a notice left: it ended in an
// earlier life, or its answer was reported before, in the same.
func (r *trial) overBefore(p *past, id string, l leave) bool {
	c := p.calls[id]
	if c.endSeq != 0 && c.endLife < l.life {
		return true
	}
	e, ok := r.ended[id]
	return ok && e.line < l.line
}

// lost counts the calls of which nobody heard. A medium or low one may be over by
// itself before it arrives, and any when a person begins a new batch at that bath.
func (r *trial) lost(p *past) (unheard, over, lost int) {
	for id, c := range p.calls {
		switch {
		case c.heard:
		case c.endSeq == 0:
			r.t.Errorf("call %s never arrived and is open", id)
			lost++
		case c.end.State == record.Answered:
			unheard++
		case c.byBatch:
			over++
		case c.opened.Priority == alarm.High.String() || c.opened.Priority == alarm.Critical.String():
			r.t.Errorf("call %s, %s, never arrived, though nobody answered it; it ended as %s", id, c.opened.Priority, c.end.How)
			lost++
		default:
			over++
		}
	}
	return
}
