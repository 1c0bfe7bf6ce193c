package ledger

import (
	"fmt"
	"slices"
	"time"
)

// Entry is a fact as it was recorded.
type Entry struct {
	Seq  int64     // number in the record
	When time.Time // wall time at which it was entered
	Day  Day       // on which that was at the site; zero: the day of When in UTC
	Who  string
	Fact Fact
}

// day is the day that counts for the books.
func (e Entry) day() Day {
	if e.Day.IsZero() {
		return DayOf(e.When)
	}
	return e.Day
}

// Ledger holds the books. The zero Ledger is empty and ready. It is not to be
// copied but by Clone, and not for several goroutines at once unless all of them
// read.
type Ledger struct {
	entries []Entry
	// batches and products by number, and the numbers in the order in which they
	// came. A number may be both: an oil that was worked on as a batch of its own.
	// What they point to is never changed: see rewrite.
	batches  map[string]*batch
	products map[string]*product
	numbers  []string
	index    index
	stores   stores
}

type batch struct {
	opened     Entry
	closed     Entry // without a number while the batch is open
	materials  []Entered[Material]
	weighings  []Entered[Weighing]
	deviations []Entered[Deviation]
	bottles    []*bottle // by number
}

// product is what was made from bottles or from other products.
type product struct {
	name string
	from []Entered[Given] // what went into it
	out  []Entered[Given] // where it went
	gone bool             // all of it went
}

// Entered is a fact with its entry.
type Entered[F Fact] struct {
	Seq  int64     `json:"entry"`
	When time.Time `json:"when"`
	Day  Day       `json:"-"` // at the site
	Who  string    `json:"who"`
	Fact F         `json:"fact"`
}

func entered[F Fact](e Entry, f F) Entered[F] { return Entered[F]{e.Seq, e.When, e.Day, e.Who, f} }

// Enter takes a fact into the books, or refuses it as Allows does.
func (l *Ledger) Enter(e Entry) error {
	e.Day = e.day()
	if err := l.Allows(e); err != nil {
		return err
	}
	l.entries = append(l.entries, e)
	l.apply(e)
	return nil
}

// apply writes down a fact that is allowed.
func (l *Ledger) apply(e Entry) {
	if f, ok := e.Fact.(Given); ok {
		l.give(e, f)
		return
	}
	b := l.rewrite(e.Fact.of())
	switch f := e.Fact.(type) {
	case Opened:
		b.opened = e
	case Closed:
		b.closed = e
	case Material:
		b.materials = append(b.materials, entered(e, f))
		l.index.take(f)
	case Weighing:
		b.weighings = append(b.weighings, entered(e, f))
	case Deviation:
		b.deviations = append(b.deviations, entered(e, f))
	case Bottles:
		b.fill(e, f)
	case Moved:
		for _, n := range f.Numbers {
			o := b.rewrite(n)
			o.stays = append(o.stays, Stay{Entry: e.Seq, When: e.When, Day: e.Day, Who: e.Who, Place: f.Place})
		}
	case Smelled:
		for _, n := range f.Numbers {
			o := b.rewrite(n)
			o.checks = append(o.checks, Check{Entry: e.Seq, When: e.When, Day: e.Day, Who: e.Who, Smell: f.Smell})
		}
	}
}

func (l *Ledger) give(e Entry, f Given) {
	if f.Product != "" {
		p := l.rewriteProduct(f.Product)
		p.from = append(p.from, entered(e, f))
		if p.name == "" {
			p.name = f.Name
		}
	}
	if f.Bottle == 0 {
		p := l.rewriteProduct(f.Batch)
		p.out = append(p.out, entered(e, f))
		p.gone = p.gone || f.All
		return
	}
	b := l.rewrite(f.Batch)
	o := b.rewrite(f.Bottle)
	v := b.volumeOf(f, o)
	o.left -= v
	o.gifts = append(o.gifts, Gift{
		Entry: e.Seq, When: e.When, Day: e.Day, Who: e.Who, Ml: v.ml(), To: f.To,
		Product: f.Product, Name: f.Name, Thrown: f.Thrown, Despite: f.Despite,
	})
}

// Has returns the entry numbered seq if it is a fact that people entered and that
// counts.
func (l *Ledger) Has(seq int64) (Entry, bool) {
	i, found := slices.BinarySearchFunc(l.entries, seq, func(e Entry, seq int64) int {
		return int(min(1, max(-1, e.Seq-seq)))
	})
	if !found {
		return Entry{}, false
	}
	switch l.entries[i].Fact.(type) {
	case Opened, Closed:
		return Entry{}, false // the daemon's own
	}
	return l.entries[i], true
}

// Void takes an entry back, as Allows would have refused it. It fails, and
// changes nothing, if a later entry builds on it.
func (l *Ledger) Void(seq int64) error {
	n, err := l.without(seq)
	if err == nil {
		*l = *n
	}
	return err
}

// AllowsVoid reports why an entry cannot be taken back; nil if it can.
func (l *Ledger) AllowsVoid(seq int64) error {
	_, err := l.without(seq)
	return err
}

// without keeps the books again, but for one entry.
func (l *Ledger) without(seq int64) (*Ledger, error) {
	if _, ok := l.Has(seq); !ok {
		return nil, fmt.Errorf("entry %d is nothing that was entered of materials, bottles and their like, or it was taken back already", seq)
	}
	n := &Ledger{stores: l.stores.clone()}
	for _, e := range l.entries {
		if e.Seq == seq {
			continue
		}
		if err := n.Enter(e); err != nil {
			return nil, fmt.Errorf("entry %d builds on entry %d, take it back first (%s): without it, %w", e.Seq, seq, e.Fact, err)
		}
	}
	return n, nil
}

// Complete fills in what a fact leaves to the books: the numbers of Count new
// bottles.
func (l *Ledger) Complete(f Fact) Fact {
	b, ok := f.(Bottles)
	if !ok || len(b.Numbers) > 0 || b.Count < 1 || b.Count > maxBottles {
		return f
	}
	next := 1
	if in := l.batches[b.Batch]; in != nil && len(in.bottles) > 0 {
		next = in.bottles[len(in.bottles)-1].number + 1
	}
	for n := range b.Count {
		b.Numbers = append(b.Numbers, next+n)
	}
	b.Count = 0
	return b
}
