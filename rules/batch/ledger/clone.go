package ledger

import (
	"maps"
	"slices"
)

// Clone returns books that say the same. What is entered into either of them
// leaves the other as it is, so that somebody may go on reading the one while the
// next entry goes into the other. It costs little: batches are shared until one
// of the two enters something of them.
func (l *Ledger) Clone() *Ledger {
	return &Ledger{
		entries: slices.Clip(l.entries), numbers: slices.Clip(l.numbers),
		batches: maps.Clone(l.batches), products: maps.Clone(l.products), index: l.index.clone(), stores: l.stores.clone(),
	}
}

// rewrite returns the batch of that number for a fact to be written into: a new
// one, or a copy in place of the one that clones of these books may hold, too.
// Its slices are clipped, for the spare room at their ends is shared.
func (l *Ledger) rewrite(number string) *batch {
	b := new(batch)
	if old := l.batches[number]; old != nil {
		*b = *old
		b.materials, b.weighings, b.deviations = slices.Clip(b.materials), slices.Clip(b.weighings), slices.Clip(b.deviations)
		b.bottles = slices.Clone(b.bottles)
	}
	l.number(number)
	if l.batches == nil {
		l.batches = map[string]*batch{}
	}
	l.batches[number] = b
	return b
}

// rewrite returns a copy of a bottle in the place of that bottle. The batch must
// be a rewritten one.
func (b *batch) rewrite(n int) *bottle {
	i, _ := b.find(n)
	o := *b.bottles[i]
	o.stays, o.gifts, o.checks = slices.Clip(o.stays), slices.Clip(o.gifts), slices.Clip(o.checks)
	b.bottles[i] = &o
	return &o
}

// rewriteProduct does for a product what rewrite does for a batch.
func (l *Ledger) rewriteProduct(number string) *product {
	p := new(product)
	if old := l.products[number]; old != nil {
		*p = *old
		p.from, p.out = slices.Clip(p.from), slices.Clip(p.out)
	}
	l.number(number)
	if l.products == nil {
		l.products = map[string]*product{}
	}
	l.products[number] = p
	return p
}

// number notes a number when it comes first.
func (l *Ledger) number(n string) {
	if l.batches[n] == nil && l.products[n] == nil {
		l.numbers = append(l.numbers, n)
		l.index.name(n)
	}
}
