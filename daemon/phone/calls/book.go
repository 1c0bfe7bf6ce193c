package calls

import (
	"slices"
	"strconv"
	"time"

	"bainward/daemon/phone/notice"
	"bainward/rules/alarm"
)

// Book holds the open calls, and the notices that nobody has got yet. The zero
// Book is empty. A Book is a value: Step returns another and leaves the old one
// as it was.
type Book struct {
	open    []call     // in the order in which they were opened
	owed    []owed     // that something is over, not yet told
	waiting []*Waiting // notices on their way, in order; never changed, but replaced
	sent    []mark     // of the last Span
	opened  latest     // calls
	issued  latest     // notices
}

// call is one occurrence of an alarm, or a matter, that wants a person.
type call struct {
	id, bath, what string
	priority       alarm.Priority
	at             time.Duration
	wall           time.Time
	fact, do       string
	told           []told
}

// told is one person who was called.
type told struct {
	contact string
	since   time.Duration
	ways    []way
}

// way is one channel through which a person was called.
type way struct {
	channel   string
	last      time.Duration // when the last notice was due
	count     int
	failed    bool // the last try did, and none has arrived
	delivered bool
}

// owed is a person to be told that a call is over.
type owed struct {
	*past
	contact, channel string
}

// past is a call that has ended. It never changes.
type past struct {
	call call // without told
	how  How
	who  string
}

// mark remembers that a notice left.
type mark struct {
	at               time.Duration
	contact, channel string
	rank             rank
}

// latest lists what was named at one offset, so that no name is given twice.
type latest struct {
	at  time.Duration
	ids []string
}

func (l *latest) add(at time.Duration, id string) {
	if at != l.at {
		*l = latest{at: at}
	}
	l.ids = append(l.ids, id)
}

// free returns id, or id with a number if it was given at this offset already.
func (l *latest) free(at time.Duration, id string) string {
	if at != l.at {
		return id
	}
	name := id
	for n := 2; slices.Contains(l.ids, name); n++ {
		name = id + "-" + strconv.Itoa(n)
	}
	return name
}

// Call is an open call, for those who look on.
type Call struct {
	ID       string
	Bath     string
	What     string // alarm or matter
	Priority alarm.Priority
	At       time.Duration
	Wall     time.Time
	Told     []string // names of the contacts called so far, in order
}

// Open lists the calls that wait for an answer, in the order in which they were
// opened.
func (b *Book) Open() []Call {
	var all []Call
	for i := range b.open {
		c := &b.open[i]
		shown := Call{ID: c.id, Bath: c.bath, What: c.what, Priority: c.priority, At: c.at, Wall: c.wall}
		for _, t := range c.told {
			shown.Told = append(shown.Told, t.contact)
		}
		all = append(all, shown)
	}
	return all
}

// Waiting is a notice that has not arrived yet.
type Waiting struct {
	Due
	Since time.Duration // the offset at which it was due
	Tries int           // so far
}

// Waiting lists the notices that have not arrived, to be handed over again after
// a restart. Of the calls that they tell of, only those still open are named.
func (b *Book) Waiting() []Waiting {
	all := make([]Waiting, 0, len(b.waiting))
	for _, kept := range b.waiting {
		w := *kept
		if w.Kind != notice.Over {
			w.Calls = slices.DeleteFunc(slices.Clone(w.Calls), func(id string) bool { return !b.isOpen(id) })
		}
		all = append(all, w)
	}
	return all
}

func (b *Book) find(id string) *call {
	for i := range b.open {
		if b.open[i].id == id {
			return &b.open[i]
		}
	}
	return nil
}

func (b *Book) isOpen(id string) bool { return b.find(id) != nil }

// about returns the open call about a subject: there is at most one.
func (b *Book) about(bath, what string) *call {
	for i := range b.open {
		if c := &b.open[i]; c.bath == bath && c.what == what {
			return c
		}
	}
	return nil
}

// clone returns a Book that shares nothing that changes with b.
func (b *Book) clone() Book {
	n := *b
	n.open = slices.Clone(b.open)
	for i := range n.open {
		n.open[i].told = slices.Clone(n.open[i].told)
		for j := range n.open[i].told {
			n.open[i].told[j].ways = slices.Clone(n.open[i].told[j].ways)
		}
	}
	n.owed = slices.Clone(b.owed)
	n.waiting = slices.Clone(b.waiting)
	n.sent = slices.Clone(b.sent)
	n.opened.ids = slices.Clone(b.opened.ids)
	n.issued.ids = slices.Clone(b.issued.ids)
	return n
}

func (c *call) toldTo(contact string) *told {
	for i := range c.told {
		if c.told[i].contact == contact {
			return &c.told[i]
		}
	}
	return nil
}

func (t *told) way(channel string) *way {
	if t == nil {
		return nil
	}
	for i := range t.ways {
		if t.ways[i].channel == channel {
			return &t.ways[i]
		}
	}
	return nil
}
