package record

import (
	"context"
	"fmt"
	"slices"

	"bainward/rules/batch/ledger"
)

// The kinds of entry that tell of goods: what is made, from which lots, where it
// stands and where it went. Each holds a fact of package ledger, whose fields it
// has, and who entered it. None of them changes what the rules judge, so a
// correction of one is an entry of the site, not of a bath.
const (
	KindMaterial  Kind = "material"  // something that went into a batch: Material
	KindWeighing  Kind = "weighing"  // something of it on the scale: Weighing
	KindBottles   Kind = "bottles"   // bottles were filled: Bottles
	KindMoved     Kind = "moved"     // bottles were put elsewhere: Moved
	KindGiven     Kind = "given"     // oil left a bottle, or a product the house: Given
	KindSmelled   Kind = "smelled"   // somebody smelled at bottles: Smelled
	KindDeviation Kind = "deviation" // it went another way than the sheet says: Deviation
)

func goodsKinds() []Kind {
	return []Kind{KindMaterial, KindWeighing, KindBottles, KindMoved, KindGiven, KindSmelled, KindDeviation}
}

// Goods reports whether k is one of the kinds that tell of goods.
func (k Kind) Goods() bool { return slices.Contains(goodsKinds(), k) }

// Material is something that went into a batch.
type Material struct {
	ledger.Material
	By string `json:"by,omitempty"`
}

// Weighing is something of a batch that was weighed.
type Weighing struct {
	ledger.Weighing
	By string `json:"by,omitempty"`
}

// Bottles are bottles that were filled from a batch.
type Bottles struct {
	ledger.Bottles
	By string `json:"by,omitempty"`
}

// Moved is bottles being put elsewhere.
type Moved struct {
	ledger.Moved
	By string `json:"by,omitempty"`
}

// Given is oil leaving a bottle, or a product leaving the house.
type Given struct {
	ledger.Given
	By string `json:"by,omitempty"`
}

// Smelled is somebody having smelled at bottles.
type Smelled struct {
	ledger.Smelled
	By string `json:"by,omitempty"`
}

// Deviation is something that went another way than the sheet says.
type Deviation struct {
	ledger.Deviation
	By string `json:"by,omitempty"`
}

// Kind returns KindMaterial.
func (Material) Kind() Kind { return KindMaterial }

// Kind returns KindWeighing.
func (Weighing) Kind() Kind { return KindWeighing }

// Kind returns KindBottles.
func (Bottles) Kind() Kind { return KindBottles }

// Kind returns KindMoved.
func (Moved) Kind() Kind { return KindMoved }

// Kind returns KindGiven.
func (Given) Kind() Kind { return KindGiven }

// Kind returns KindSmelled.
func (Smelled) Kind() Kind { return KindSmelled }

// Kind returns KindDeviation.
func (Deviation) Kind() Kind { return KindDeviation }

func (b Material) check() error  { return b.Check() }
func (b Weighing) check() error  { return b.Check() }
func (b Bottles) check() error   { return b.Check() }
func (b Moved) check() error     { return b.Check() }
func (b Given) check() error     { return b.Check() }
func (b Smelled) check() error   { return b.Check() }
func (b Deviation) check() error { return b.Check() }

// GoodsOf returns the body that holds a fact, said by a person. Of the opening
// and closing of a batch the daemon makes its own: that is an error.
func GoodsOf(f ledger.Fact, by string) (Body, error) {
	switch f := f.(type) {
	case ledger.Material:
		return Material{f, by}, nil
	case ledger.Weighing:
		return Weighing{f, by}, nil
	case ledger.Bottles:
		return Bottles{f, by}, nil
	case ledger.Moved:
		return Moved{f, by}, nil
	case ledger.Given:
		return Given{f, by}, nil
	case ledger.Smelled:
		return Smelled{f, by}, nil
	case ledger.Deviation:
		return Deviation{f, by}, nil
	}
	return nil, fmt.Errorf("%s is nothing that a person enters", f)
}

// Fact returns what an entry tells the books: a fact of goods, or a batch being
// opened or closed; ok is false for every other entry.
func (e Entry) Fact() (f ledger.Entry, ok bool, err error) {
	f = ledger.Entry{Seq: e.Seq, When: e.Wall}
	if e.Kind == KindBatch {
		f.Fact, err = e.batchFact()
		return f, err == nil, err
	}
	if !e.Kind.Goods() {
		return f, false, nil
	}
	body := newBody(e.Kind)
	if err := e.Decode(body); err != nil {
		return f, false, err
	}
	switch b := body.(type) {
	case *Material:
		f.Fact, f.Who = b.Material, b.By
	case *Weighing:
		f.Fact, f.Who = b.Weighing, b.By
	case *Bottles:
		f.Fact, f.Who = b.Bottles, b.By
	case *Moved:
		f.Fact, f.Who = b.Moved, b.By
	case *Given:
		f.Fact, f.Who = b.Given, b.By
	case *Smelled:
		f.Fact, f.Who = b.Smelled, b.By
	case *Deviation:
		f.Fact, f.Who = b.Deviation, b.By
	}
	return f, true, nil
}

func (e Entry) batchFact() (ledger.Fact, error) {
	var b Batch
	if err := e.Decode(&b); err != nil {
		return nil, err
	}
	if b.State == Opened {
		return ledger.Opened{Batch: b.Number, Bath: e.Bath, Recipe: b.Recipe}, nil
	}
	return ledger.Closed{Batch: b.Number, Verdict: b.Verdict}, nil
}

// Goods returns all entries from which the books are kept, in order: those of
// goods, the openings and closings of batches, and the corrections. They are few,
// and found through the index.
func (r *Reader) Goods(ctx context.Context) ([]Entry, error) {
	rows, err := r.db.QueryContext(ctx, goodsSQL)
	if err != nil {
		return nil, fmt.Errorf("read goods: %w", err)
	}
	defer rows.Close()
	var all []Entry
	for rows.Next() {
		e, err := scan(rows)
		if err != nil {
			return nil, err
		}
		all = append(all, e)
	}
	if err := rows.Err(); err != nil {
		return nil, fmt.Errorf("read goods: %w", err)
	}
	return all, nil
}

const goodsSQL = `
SELECT seq, kind, (SELECT name FROM bath WHERE id = entry.bath), at_ms, wall_ms, NULL, NULL, NULL, NULL, body
FROM entry INDEXED BY entry_of
WHERE kind IN ('batch', 'correction', 'material', 'weighing', 'bottles', 'moved', 'given', 'smelled', 'deviation')
ORDER BY seq`
