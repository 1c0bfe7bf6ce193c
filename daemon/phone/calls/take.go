package calls

import (
	"slices"
	"time"

	"bainward/daemon/phone/notice"
)

// Take folds one fact into the book. Step changes its book through the same
// code and through nothing else, so that a book folded from the record is the
// one that was lost. A fact about something unknown changes nothing: a record
// that is read from somewhere in the middle begins so.
func (b *Book) Take(at time.Duration, wall time.Time, f Fact) { f.take(b, at, wall) }

func (o Opened) take(b *Book, at time.Duration, wall time.Time) {
	b.opened.add(at, o.Call)
	if b.find(o.Call) != nil {
		return
	}
	b.open = append(b.open, call{
		id: o.Call, bath: o.Bath, what: o.What, priority: o.Priority, at: at, wall: wall, fact: o.Fact, do: o.Do,
	})
	// "It is over", told after the next one began, would be a lie.
	about := subject(o.Bath, o.What)
	b.owed = slices.DeleteFunc(b.owed, func(w owed) bool { return Subject(w.call.id) == about })
	b.waiting = slices.DeleteFunc(b.waiting, func(w *Waiting) bool {
		return w.Kind == notice.Over && slices.ContainsFunc(w.Calls, func(id string) bool { return Subject(id) == about })
	})
}

func (d Due) take(b *Book, at time.Duration, _ time.Time) {
	b.issued.add(at, d.ID)
	for len(b.sent) > 0 && at-b.sent[0].at >= Span { // they are in order
		b.sent = b.sent[1:]
	}
	b.sent = append(b.sent, mark{at: at, contact: d.Contact, channel: d.Channel, rank: rankOf(d.Kind, d.Priority)})
	if d.Kind == notice.Over {
		b.owed = slices.DeleteFunc(b.owed, func(w owed) bool {
			return w.contact == d.Contact && w.channel == d.Channel && slices.Contains(d.Calls, w.call.id)
		})
		b.waiting = append(b.waiting, &Waiting{Due: d, Since: at})
		return
	}
	open := false
	for _, id := range d.Calls {
		if c := b.find(id); c != nil {
			open = true
			c.tell(d.Contact, d.Channel, at)
		}
	}
	if open {
		b.waiting = slices.DeleteFunc(b.waiting, func(w *Waiting) bool { return d.Supersedes(w.Due) })
		b.waiting = append(b.waiting, &Waiting{Due: d, Since: at})
	}
}

func (c *call) tell(contact, channel string, at time.Duration) {
	t := c.toldTo(contact)
	if t == nil {
		c.told = append(c.told, told{contact: contact, since: at})
		t = &c.told[len(c.told)-1]
	}
	w := t.way(channel)
	if w == nil {
		t.ways = append(t.ways, way{channel: channel})
		w = &t.ways[len(t.ways)-1]
	}
	w.last = at
	w.count++
}

func (e Ended) take(b *Book, _ time.Duration, _ time.Time) {
	i := slices.IndexFunc(b.open, func(c call) bool { return c.id == e.Call })
	if i < 0 {
		return
	}
	over := b.open[i]
	b.open = slices.Delete(b.open, i, i+1)
	everyone := over.told
	over.told = nil
	ended := &past{call: over, how: e.How, who: e.Who}
	for _, t := range everyone {
		if t.contact == e.Who {
			continue // who answered knows
		}
		for _, w := range t.ways {
			b.owed = append(b.owed, owed{past: ended, contact: t.contact, channel: w.channel})
		}
	}
	// What is still on its way about ended calls alone is withdrawn.
	b.waiting = slices.DeleteFunc(b.waiting, func(w *Waiting) bool {
		return w.Kind != notice.Over && slices.Contains(w.Calls, e.Call) && !slices.ContainsFunc(w.Calls, b.isOpen)
	})
}

func (t Tried) take(b *Book, _ time.Duration, _ time.Time) {
	i := slices.IndexFunc(b.waiting, func(w *Waiting) bool { return w.ID == t.Notice })
	if i < 0 {
		return
	}
	w := *b.waiting[i]
	w.Tries = max(w.Tries, t.Try)
	b.waiting[i] = &w
	for _, id := range w.Calls {
		if c := b.find(id); c != nil {
			c.toldTo(w.Contact).way(w.Channel).went(t.Result)
		}
	}
	if t.Result != Failed {
		b.waiting = slices.Delete(b.waiting, i, i+1)
	}
}

func (w *way) went(r Result) {
	switch {
	case w == nil || r == Withdrawn:
	case r == Delivered:
		w.failed, w.delivered = false, true
	default:
		w.failed = !w.delivered
	}
}
