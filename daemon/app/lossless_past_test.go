package app

import (
	"math"
	"slices"
	"sort"
	"time"

	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/notice"
	"bainward/daemon/record"
)

// past is what the record says of all lives together.
type past struct {
	calls   map[string]*pastCall
	notices map[string]*pastNotice
	tries   int
	seen    map[string]time.Duration // bath: when an event was last seen that nobody entered
}

// never is the life in which something did not happen.
const never = math.MaxInt

type pastCall struct {
	opened, end record.Call
	endLife     int  // the life that recorded its end; never: it is open
	noticed     bool // it was cleared by what the daemon saw, and not by a person
	heard       bool // a notice that calls about it arrived
}

type pastNotice struct {
	record.Notice
	delivered int    // the life that recorded its delivery, or never
	arrived   []post // what the letterbox took of it
}

// calling lists what it calls somebody about: nothing if it says that something
// is over.
func (n *pastNotice) calling() []string {
	if n.Why == notice.Over.String() {
		return nil
	}
	return n.Calls
}

// lifeOf is the life that wrote an entry.
func (r *trial) lifeOf(seq int64) int {
	return sort.Search(len(r.before), func(i int) bool { return r.before[i] >= seq }) - 1
}

// recall reads the whole record.
func (r *trial) recall() *past {
	r.t.Helper()
	p := &past{calls: map[string]*pastCall{}, notices: map[string]*pastNotice{}, seen: map[string]time.Duration{}}
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
	case record.KindEvent:
		var b record.Event
		err := e.Decode(&b)
		if b.By == seenBy {
			p.seen[e.Bath] = e.At
		}
		return err
	case record.KindCall:
		var b record.Call
		err := e.Decode(&b)
		r.takeCall(p, e, b)
		return err
	case record.KindNotice:
		n := &pastNotice{delivered: never}
		err := e.Decode(&n.Notice)
		r.takeNotice(p, n)
		return err
	case record.KindAttempt:
		var b record.Attempt
		err := e.Decode(&b)
		p.tries++
		if n := p.notices[b.Notice]; n == nil {
			r.t.Errorf("a try of notice %s, which is not in the record", b.Notice)
		} else if b.Result == record.Delivered {
			n.delivered = r.lifeOf(e.Seq)
		}
		return err
	}
	return nil
}

func (r *trial) takeCall(p *past, e record.Entry, b record.Call) {
	c := p.calls[b.ID]
	switch {
	case b.State == record.Opened && c == nil:
		p.calls[b.ID] = &pastCall{opened: b, endLife: never}
	case b.State == record.Opened:
		r.t.Errorf("call %s is opened twice", b.ID)
	case c == nil || c.endLife != never:
		r.t.Errorf("call %s ends without being open", b.ID)
	default:
		c.end, c.endLife = b, r.lifeOf(e.Seq)
		at, seen := p.seen[e.Bath]
		c.noticed = b.How == calls.Cleared.String() && seen && at == e.At
	}
}

func (r *trial) takeNotice(p *past, n *pastNotice) {
	if p.notices[n.ID] != nil {
		r.t.Errorf("two notices are named %s", n.ID)
	}
	p.notices[n.ID] = n
	ids := n.calling()
	if len(ids) > 0 && !slices.ContainsFunc(ids, func(id string) bool { return p.calls[id].endLife == never }) {
		r.t.Errorf("notice %s became due when all its calls %v were over", n.ID, ids)
	}
}
