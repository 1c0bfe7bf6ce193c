package app

import (
	"slices"
	"time"

	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/notice"
	"bainward/daemon/record"
	"bainward/dashboards"
)

// phoneLog is what pages show of the calls. It is folded from the facts in the
// record, so that it outlives a restart.
type phoneLog struct {
	open    []calls.Call
	calls   []shownCall // newest last, the answered ones of late included
	notices map[string]shownNotice
	ways    map[way]*worked
}

type shownCall struct {
	dashboards.Call
	id string
}

// shownNotice is a notice under way: which calls it tells of, by which way.
type shownNotice struct {
	way
	calls []string
}

// way is one channel to one person.
type way struct{ contact, channel string }

// worked is when a way was last tried, and last worked.
type worked struct {
	tried, good time.Time
	answer      string
}

// shownCalls is how many calls pages show at most.
const shownCalls = 40

func (l *phoneLog) take(_ time.Duration, wall time.Time, f calls.Fact) {
	switch f := f.(type) {
	case calls.Opened:
		l.calls = append(l.calls, shownCall{id: f.Call, Call: dashboards.Call{
			Bath: f.Bath, Alarm: f.What, Priority: f.Priority.String(), Since: wall,
		}})
		if extra := len(l.calls) - shownCalls; extra > 0 {
			l.calls = slices.Delete(l.calls, 0, extra)
		}
	case calls.Due:
		l.sent(wall, f)
	case calls.Tried:
		l.tried(wall, f)
	case calls.Ended:
		if c := l.find(f.Call); c != nil {
			c.By = f.Who
			if f.Who == "" {
				c.Over = overWords(f.How)
			}
		}
	}
}

// overWords ends the sentence that begins with "It".
func overWords(h calls.How) string {
	switch h {
	case calls.Returned:
		return "went away by itself"
	case calls.Suppressed:
		return "does not apply any more"
	}
	return "is over"
}

func (l *phoneLog) sent(wall time.Time, d calls.Due) {
	if l.notices == nil {
		l.notices = map[string]shownNotice{}
	}
	w := way{d.Contact, d.Channel}
	l.notices[d.ID] = shownNotice{way: w, calls: d.Calls}
	if d.Kind == notice.Over {
		return
	}
	for _, id := range d.Calls {
		if c := l.find(id); c != nil {
			c.Told = append(c.Told, dashboards.Told{Contact: d.Contact, Channel: d.Channel, At: wall})
		}
	}
}

func (l *phoneLog) tried(wall time.Time, t calls.Tried) {
	n, ok := l.notices[t.Notice]
	if !ok {
		return
	}
	if t.Result != calls.Failed {
		delete(l.notices, t.Notice)
	}
	if t.Result != calls.Withdrawn {
		l.went(n.way, wall, t.Result == calls.Delivered, t.Said)
	}
	for _, id := range n.calls {
		if c := l.find(id); c != nil {
			c.note(n.way, t)
		}
	}
}

// note says of the newest message of this way what became of it.
func (c *shownCall) note(w way, t calls.Tried) {
	for i := len(c.Told) - 1; i >= 0; i-- {
		if told := &c.Told[i]; told.Contact == w.contact && told.Channel == w.channel {
			told.Failed = t.Result == calls.Failed || t.Result == calls.GaveUp
			told.Answer = t.Said
			return
		}
	}
}

func (l *phoneLog) went(w way, wall time.Time, good bool, said string) {
	if l.ways == nil {
		l.ways = map[way]*worked{}
	}
	k := l.ways[w]
	if k == nil {
		k = &worked{}
		l.ways[w] = k
	}
	k.tried, k.answer = wall, said
	if good {
		k.good = wall
	}
}

func (l *phoneLog) find(id string) *shownCall {
	for i := len(l.calls) - 1; i >= 0; i-- {
		if l.calls[i].id == id {
			return &l.calls[i]
		}
	}
	return nil
}

// remember folds one entry of the record.
func (p *phones) remember(e record.Entry) error {
	f, err := factOf(e, p.Plan.Site)
	if err != nil {
		return err
	}
	if due, ok := f.(calls.Due); !ok || due.Kind != notice.Proof { // a proof calls nobody
		p.book.Take(e.At, e.Wall, f)
	}
	p.shown.take(e.At, e.Wall, f)
	return nil
}
