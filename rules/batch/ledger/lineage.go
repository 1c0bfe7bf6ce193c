package ledger

import "strings"

// node is a lot, something made (a batch or a product), or a bottle.
type node struct {
	kind nodeKind
	name string
}

type nodeKind uint8

const (
	lotNode nodeKind = iota // named by lotKey
	makeNode
	bottleNode
)

// lotKey is what lots are compared by.
func lotKey(lot string) string { return strings.ToLower(strings.Join(strings.Fields(lot), "")) }

// walked are the nodes that a walk came to, in that order.
type walked struct {
	nodes []node
	seen  map[node]bool
}

// walk goes from start along next, to everything that can be reached. Rings do
// not hold it up.
func walk(start node, next func(node) []node) walked {
	w := walked{nodes: []node{start}, seen: map[node]bool{start: true}}
	for i := 0; i < len(w.nodes); i++ {
		for _, n := range next(w.nodes[i]) {
			if !w.seen[n] {
				w.seen[n] = true
				w.nodes = append(w.nodes, n)
			}
		}
	}
	return w
}

func (l *Ledger) from(n node) walked   { return walk(n, l.into) }
func (l *Ledger) behind(n node) walked { return walk(n, l.outOf) }

// into lists what a node went into by one step. A bottle or a product is a lot
// too: another batch may have taken it as its oil, and named it so.
func (l *Ledger) into(n node) (next []node) {
	switch n.kind {
	case lotNode:
		for _, number := range l.index.took[n.name] {
			next = append(next, node{makeNode, number})
		}
		return next
	case makeNode:
		if b := l.batches[n.name]; b != nil {
			for _, o := range b.bottles {
				next = append(next, node{bottleNode, o.id()})
			}
		}
		if p := l.products[n.name]; p != nil {
			for _, g := range p.out {
				next = append(next, madeFrom(g.Fact.Product)...)
			}
		}
	case bottleNode:
		for _, g := range l.bottle(n.name).gifts {
			next = append(next, madeFrom(g.Product)...)
		}
	}
	// Most bottles went into nothing, and are no lot that is worth a step.
	if key := lotKey(n.name); len(l.index.took[key]) > 0 {
		next = append(next, node{lotNode, key})
	}
	return next
}

func madeFrom(product string) []node {
	if product == "" {
		return nil
	}
	return []node{{makeNode, product}}
}

// outOf lists what a node came out of by one step.
func (l *Ledger) outOf(n node) (next []node) {
	switch n.kind {
	case bottleNode:
		number, _, _ := ParseBottle(n.name)
		return []node{{makeNode, number}}
	case makeNode:
		if b := l.batches[n.name]; b != nil {
			for _, m := range b.materials {
				next = append(next, node{lotNode, lotKey(m.Fact.Lot)})
			}
		}
		if p := l.products[n.name]; p != nil {
			for _, g := range p.from {
				next = append(next, sourceOf(g.Fact))
			}
		}
	case lotNode:
		return l.made(n.name)
	}
	return next
}

func sourceOf(g Given) node {
	if g.Bottle == 0 {
		return node{makeNode, g.Batch}
	}
	return node{bottleNode, BottleID(g.Batch, g.Bottle)}
}

// bottle returns the bottle of that name, nil if there is none.
func (l *Ledger) bottle(id string) *bottle {
	number, n, ok := ParseBottle(id)
	b := l.batches[number]
	if !ok || b == nil {
		return nil
	}
	return b.bottle(n)
}
