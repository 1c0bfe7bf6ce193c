package ledger

import (
	"cmp"
	"slices"
)

// Sort tells as what a name was found.
type Sort string

// What can be found by its name.
const (
	FoundLot       Sort = "lot"
	FoundBatch     Sort = "batch"
	FoundBottle    Sort = "bottle"
	FoundProduct   Sort = "product"
	FoundReference Sort = "reference"
)

// Found is one thing of a name, what stands behind it and what it went into.
// Nothing lies behind a reference in the books but what it was given, and it went
// into nothing: its own entries are Into.References.
type Found struct {
	As     Sort   `json:"as"`
	Name   string `json:"name"` // as it was first written
	Behind Origin `json:"behind"`
	Into   Recall `json:"into"`
}

// Find looks a name up among lots, batches, bottles, products (by number or by
// name) and references, and follows each that it finds both ways. Names are told
// apart neither by case nor by spaces. The error is an *UnknownError if nothing is
// called so.
func (l *Ledger) Find(name string) ([]Found, error) {
	key := lotKey(name)
	var all []Found
	if uses := l.uses(key); len(uses) > 0 {
		start := node{lotNode, key}
		written := uses[0].Material.Fact.Lot
		all = append(all, Found{FoundLot, written, l.originOf(written, l.outOf(start)), l.recall(written, start)})
	}
	for _, number := range l.numbers {
		if as := l.sortOf(number); lotKey(number) == key || as == FoundProduct && lotKey(l.products[number].name) == key {
			all = append(all, l.found(as, node{makeNode, number}))
		}
	}
	for _, n := range l.made(key) {
		if n.kind == bottleNode {
			all = append(all, l.found(FoundBottle, n))
		}
	}
	if refs := l.referred(key); len(refs) > 0 {
		all = append(all, l.foundReference(refs))
	}
	if key == "" || len(all) == 0 {
		return nil, l.unknown("lot, batch, bottle, product or reference", name, l.everyName())
	}
	return all, nil
}

// sortOf tells what a number is of; one that is both was made here as a batch.
func (l *Ledger) sortOf(number string) Sort {
	if l.batches[number] != nil {
		return FoundBatch
	}
	return FoundProduct
}

func (l *Ledger) found(as Sort, n node) Found {
	f := Found{As: as, Name: n.name, Behind: l.originOf(n.name, l.outOf(n)), Into: l.recall(n.name, n)}
	if n.kind == makeNode {
		f.Into.without(n.name)
	}
	// A batch is made of its own lots, which are one step behind it as lots.
	if b := l.batches[n.name]; n.kind == makeNode && b != nil {
		var own []LotUse
		for _, m := range b.materials {
			own = append(own, LotUse{n.name, m})
		}
		f.Behind.Lots = slices.Concat(own, f.Behind.Lots)
	}
	return f
}

// without takes what was asked for out of what it went into.
func (r *Recall) without(number string) {
	r.Batches = slices.DeleteFunc(r.Batches, func(n string) bool { return n == number })
	r.Products = slices.DeleteFunc(r.Products, func(p Product) bool { return p.Number == number })
}

// referred lists what went to one reference, in the order of time.
func (l *Ledger) referred(key string) []Reference {
	return slices.DeleteFunc(l.references(), func(f Reference) bool { return lotKey(f.To) != key })
}

// references lists all that went to anybody, in the order of time.
func (l *Ledger) references() []Reference {
	r := Recall{}
	for _, number := range l.numbers {
		if p := l.products[number]; p != nil {
			for _, g := range p.out {
				r.refer(g.Fact.To, Reference{Entry: g.Seq, When: g.When, Who: g.Who, From: number, Much: muchWords(g.Fact)})
			}
		}
		if b := l.batches[number]; b != nil {
			for _, o := range b.bottles {
				for _, g := range o.gifts {
					r.refer(g.To, Reference{Entry: g.Entry, When: g.When, Who: g.Who, From: o.id(), Much: rounds(g.Ml)})
				}
			}
		}
	}
	slices.SortFunc(r.References, func(a, b Reference) int { return cmp.Compare(a.Entry, b.Entry) })
	return r.References
}

func (l *Ledger) foundReference(refs []Reference) Found {
	f := Found{As: FoundReference, Name: refs[0].To}
	var from []node
	for _, r := range refs {
		n := node{makeNode, r.From}
		if l.bottle(r.From) != nil {
			n.kind = bottleNode
		}
		from = append(from, n)
	}
	f.Behind = l.originOf(f.Name, from)
	f.Into = Recall{Of: f.Name, Lots: []LotUse{}, Batches: []string{}, Bottles: []Bottle{}, Products: []Product{}, References: refs}
	return f
}

// originOf gathers nodes and everything behind them.
func (l *Ledger) originOf(of string, from []node) Origin {
	o := Origin{Of: of, Lots: []LotUse{}, Batches: []string{}, Bottles: []string{}, Products: []string{}}
	seen := map[node]bool{}
	for _, start := range from {
		for _, n := range walk(start, l.outOf).nodes {
			if !seen[n] {
				seen[n] = true
				l.behindBy(&o, n)
			}
		}
	}
	return o
}

// behindBy adds one node to an origin.
func (l *Ledger) behindBy(o *Origin, n node) {
	switch n.kind {
	case bottleNode:
		o.Bottles = append(o.Bottles, n.name)
	case makeNode:
		if b := l.batches[n.name]; b != nil {
			o.Batches = append(o.Batches, n.name)
			for _, m := range b.materials {
				o.Lots = append(o.Lots, LotUse{n.name, m})
			}
		}
		if l.products[n.name] != nil {
			o.Products = append(o.Products, n.name)
		}
	}
}

// everyName lists what can be asked for.
func (l *Ledger) everyName() []string {
	all := slices.Concat(l.lots(), l.numbers, l.bottleNames())
	for _, number := range l.productNumbers() {
		all = append(all, l.products[number].name)
	}
	for _, r := range l.references() {
		all = append(all, r.To)
	}
	return slices.DeleteFunc(all, func(s string) bool { return s == "" })
}
