package ledger

import (
	"fmt"
)

// UnknownError says that the books hold nothing of that name.
type UnknownError struct {
	What string // batch, bottle, product, lot
	Name string
	Hint string // a name that may have been meant, or what there is
}

func (e *UnknownError) Error() string {
	s := fmt.Sprintf("%s %q is not in the record", e.What, e.Name)
	if e.Hint != "" {
		s += ": " + e.Hint
	}
	return s
}

// Allows says why a fact cannot have happened after all that is in the books; nil
// if it can. The words are for the person who enters it. An error is an
// *UnknownError if a batch, bottle or product is not known.
func (l *Ledger) Allows(e Entry) error {
	if n := len(l.entries); n > 0 && e.Seq != 0 && e.Seq <= l.entries[n-1].Seq {
		return fmt.Errorf("entry %d comes after entry %d", e.Seq, l.entries[n-1].Seq)
	}
	if err := e.Fact.Check(); err != nil {
		return err
	}
	switch f := e.Fact.(type) {
	case Opened:
		if l.batches[f.Batch] != nil {
			return fmt.Errorf("batch %s was opened before", f.Batch)
		}
		return nil
	case Given:
		return l.allowsGiven(e, f)
	}
	b := l.batches[e.Fact.of()]
	if b == nil {
		return l.noBatch(e.Fact.of())
	}
	switch f := e.Fact.(type) {
	case Bottles:
		for _, n := range f.Numbers {
			if b.bottle(n) != nil {
				return fmt.Errorf("bottle %s is filled already: give it the next number, %d", BottleID(f.Batch, n), b.bottles[len(b.bottles)-1].number+1)
			}
		}
		if b.volume(f.Each, f.AtC) <= 0 {
			return fmt.Errorf("%s a bottle is nothing", f.Each)
		}
	case Moved:
		return b.allHere(f.Batch, f.Numbers)
	case Smelled:
		return b.allHere(f.Batch, f.Numbers)
	}
	return nil
}

// allHere reports which of the bottles is unknown or empty.
func (b *batch) allHere(number string, bottles []int) error {
	for _, n := range bottles {
		o := b.bottle(n)
		if o == nil {
			return b.noBottle(number, n)
		}
		if o.left == 0 {
			return fmt.Errorf("bottle %s is empty: its last went on %s", o.id(), o.gifts[len(o.gifts)-1].Day)
		}
	}
	return nil
}

func (l *Ledger) allowsGiven(e Entry, f Given) error {
	if f.Product != "" {
		if err := l.allowsProduct(f); err != nil {
			return err
		}
	}
	if f.Bottle == 0 {
		return l.allowsFromProduct(f)
	}
	b := l.batches[f.Batch]
	if b == nil {
		return l.noBatch(f.Batch)
	}
	o := b.bottle(f.Bottle)
	if o == nil {
		return b.noBottle(f.Batch, f.Bottle)
	}
	v := b.volumeOf(f, o)
	switch {
	case o.left == 0:
		return fmt.Errorf("nothing is left in bottle %s", o.id())
	case v > o.left:
		return fmt.Errorf("%s is more than there is: bottle %s holds %s ml; say all if it was all", f.Quantity, o.id(), mlWords(o.left))
	case v <= 0:
		return fmt.Errorf("%s is nothing", f.Quantity)
	case f.Thrown || f.Despite != "":
		return nil
	case o.rancid():
		return fmt.Errorf("bottle %s was found rancid on %s: throw it away; if it went out all the same, say why (despite)", o.id(), o.checks[len(o.checks)-1].Day)
	}
	if by := b.useBy(o); DayOf(by.By).Before(e.day()) {
		return fmt.Errorf("bottle %s was good until %s: throw it away; if it went out all the same, say why (despite)", o.id(), DayOf(by.By))
	}
	return nil
}

// allowsProduct refuses a product that would be made of itself.
func (l *Ledger) allowsProduct(f Given) error {
	from := node{makeNode, f.Batch}
	if f.Product == f.Batch || l.behind(from).seen[node{makeNode, f.Product}] {
		return fmt.Errorf("%s cannot be made of %s, which was made of it", f.Product, f.Batch)
	}
	if p := l.products[f.Product]; p != nil && f.Name != "" && p.name != "" && p.name != f.Name {
		return fmt.Errorf("product %s is called %q already, not %q: give each product a number of its own", f.Product, p.name, f.Name)
	}
	return nil
}

func (l *Ledger) allowsFromProduct(f Given) error {
	p := l.products[f.Batch]
	switch {
	case p == nil && l.batches[f.Batch] != nil:
		return fmt.Errorf("from which bottle of batch %s was it?", f.Batch)
	case p == nil:
		return l.unknown("product", f.Batch, l.productNumbers())
	case p.gone:
		return fmt.Errorf("nothing is left of product %s", f.Batch)
	}
	return nil
}

func (l *Ledger) noBatch(number string) error {
	return l.unknown("batch", number, l.batchNumbers())
}

func (b *batch) noBottle(number string, n int) error {
	e := &UnknownError{What: "bottle", Name: BottleID(number, n), Hint: "nothing was bottled of this batch yet"}
	if len(b.bottles) > 0 {
		var have []int
		for _, o := range b.bottles {
			have = append(have, o.number)
		}
		e.Hint = "the batch has " + bottleList(have)
	}
	return e
}
