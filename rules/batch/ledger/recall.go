package ledger

import (
	"cmp"
	"slices"
	"time"
)

// Recall is everything that a lot, a bottle or a batch went into.
type Recall struct {
	Of         string      `json:"of"`
	Lots       []LotUse    `json:"lots"`    // that it went in by
	Batches    []string    `json:"batches"` // made with it
	Bottles    []Bottle    `json:"bottles"` // filled with it, empty ones too
	Products   []Product   `json:"products"`
	References []Reference `json:"references"` // where all of it went, in the order of time
	LeftMl     float64     `json:"left_ml"`    // still in bottles here
}

// LotUse is a material of a batch.
type LotUse struct {
	Batch    string            `json:"batch"`
	Material Entered[Material] `json:"material"`
}

// Product is something made from bottles.
type Product struct {
	Number string   `json:"product"`
	Name   string   `json:"name,omitzero"`
	From   []string `json:"from"` // bottles and products
	Gone   bool     `json:"gone"` // it was said that all of it went
}

// Reference is somebody or something that oil or a product went to, in the
// maker's own words.
type Reference struct {
	Entry int64     `json:"entry"`
	When  time.Time `json:"when"`
	Who   string    `json:"who"`
	From  string    `json:"from"` // bottle or product
	To    string    `json:"reference"`
	Much  string    `json:"much"` // in words; "all", "30 ml"; empty: it was not said
}

// From answers a recall: what did a lot go into? The error is an *UnknownError
// if nothing was made with such a lot.
func (l *Ledger) From(lot string) (Recall, error) {
	start := node{lotNode, lotKey(lot)}
	if len(l.into(start)) == 0 {
		return Recall{}, l.unknown("lot", lot, l.lots())
	}
	return l.recall(lot, start), nil
}

// FromBottle answers what a bottle went into.
func (l *Ledger) FromBottle(id string) (Recall, error) {
	if _, err := l.Bottle(id); err != nil {
		return Recall{}, err
	}
	return l.recall(id, node{bottleNode, id}), nil
}

// recall gathers what a node went into.
func (l *Ledger) recall(of string, start node) Recall {
	r := Recall{Of: of, Lots: []LotUse{}, Batches: []string{}, Bottles: []Bottle{}, Products: []Product{}, References: []Reference{}}
	for _, n := range l.from(start).nodes {
		switch n.kind {
		case lotNode:
			r.Lots = append(r.Lots, l.uses(n.name)...)
		case makeNode:
			if l.batches[n.name] != nil {
				r.Batches = append(r.Batches, n.name)
			}
			if p := l.products[n.name]; p != nil {
				r.Products = append(r.Products, p.shown(n.name))
				for _, g := range p.out {
					r.refer(g.Fact.To, Reference{Entry: g.Seq, When: g.When, Who: g.Who, From: n.name, Much: muchWords(g.Fact)})
				}
			}
		case bottleNode:
			o := l.shown(l.bottle(n.name))
			r.Bottles = append(r.Bottles, o)
			r.LeftMl += o.LeftMl
			for _, g := range o.Given {
				r.refer(g.To, Reference{Entry: g.Entry, When: g.When, Who: g.Who, From: o.ID, Much: rounds(g.Ml)})
			}
		}
	}
	r.LeftMl = rounded(r.LeftMl)
	slices.SortFunc(r.References, func(a, b Reference) int { return cmp.Compare(a.Entry, b.Entry) })
	return r
}

func (r *Recall) refer(to string, ref Reference) {
	if to != "" {
		ref.To = to
		r.References = append(r.References, ref)
	}
}

func (p *product) shown(number string) Product {
	out := Product{Number: number, Name: p.name, From: []string{}, Gone: p.gone}
	for _, g := range p.from {
		if name := sourceOf(g.Fact).name; !slices.Contains(out.From, name) {
			out.From = append(out.From, name)
		}
	}
	return out
}

// Origin is everything that a bottle, product or batch came out of.
type Origin struct {
	Of       string   `json:"of"`
	Lots     []LotUse `json:"lots"`
	Batches  []string `json:"batches"`
	Bottles  []string `json:"bottles"`
	Products []string `json:"products"`
}

// Behind tells what a bottle, a product or a batch came out of. The error is an
// *UnknownError if there is none of that name.
func (l *Ledger) Behind(name string) (Origin, error) {
	start := node{makeNode, name}
	switch {
	case l.bottle(name) != nil:
		start.kind = bottleNode
	case l.batches[name] == nil && l.products[name] == nil:
		return Origin{}, l.unknown("bottle, product or batch", name, slices.Concat(l.bottleNames(), l.numbers))
	}
	o := Origin{Of: name, Lots: []LotUse{}, Batches: []string{}, Bottles: []string{}, Products: []string{}}
	for _, n := range l.behind(start).nodes {
		if n.kind == bottleNode && n != start {
			o.Bottles = append(o.Bottles, n.name)
		}
		if n.kind != makeNode {
			continue
		}
		if b := l.batches[n.name]; b != nil {
			o.Batches = append(o.Batches, n.name)
			for _, m := range b.materials {
				o.Lots = append(o.Lots, LotUse{n.name, m})
			}
		}
		if l.products[n.name] != nil && n != start {
			o.Products = append(o.Products, n.name)
		}
	}
	return o, nil
}

// Trail is all that is known of one bottle: what stands behind it, and what it
// went into.
type Trail struct {
	Bottle Bottle `json:"bottle"`
	Behind Origin `json:"behind"`
	Into   Recall `json:"into"`
}

// Trail returns the trail of a bottle. The error is an *UnknownError.
func (l *Ledger) Trail(id string) (t Trail, err error) {
	if t.Bottle, err = l.Bottle(id); err != nil {
		return t, err
	}
	if t.Behind, err = l.Behind(id); err != nil {
		return t, err
	}
	t.Into, err = l.FromBottle(id)
	return t, err
}
