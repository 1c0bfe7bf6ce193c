package dashboards

import (
	"io"
	"time"

	"bainward/rules"
	"bainward/rules/batch/ledger"
)

// RecallPage answers one question: what stands behind a name, and what did it go
// into?
type RecallPage struct {
	GoodsFrame
	Asked string
	Error string // why there is no answer; empty: there is, or nothing was asked
	Found []FoundView
	At    time.Time // when it was asked: what is where may change
}

// FoundView is one thing that goes by the name.
type FoundView struct {
	As         string // lot, batch, bottle, product, reference
	Name       string
	Behind     OriginView
	Into       IntoView
	References []WentRow // what went to it, if it is a reference
}

// OriginView is what something came out of.
type OriginView struct {
	Lots     []LotRow
	Batches  []string
	Bottles  []string
	Products []string
}

// Any reports whether anything lies behind.
func (o OriginView) Any() bool {
	return len(o.Lots)+len(o.Batches)+len(o.Bottles)+len(o.Products) > 0
}

// LotRow is a lot that went into a batch.
type LotRow struct {
	Batch string
	GoodsRow
}

// IntoView is what something went into.
type IntoView struct {
	Lots     []LotRow // as which it went in
	Batches  []string
	Bottles  []BottleGroup
	Count    int    // of bottles
	Standing int    // bottles in which something is left
	Left     string // in all of them
	Products []ProductRow
	Went     []WentRow
}

// Any reports whether it went into anything.
func (v IntoView) Any() bool { return len(v.Batches)+v.Count+len(v.Products)+len(v.Went) > 0 }

// RecallPageOf puts an answer into words.
func RecallPageOf(u rules.Units, found []ledger.Found) RecallPage {
	var p RecallPage
	for _, f := range found {
		v := FoundView{As: string(f.As), Name: f.Name, Behind: originView(u, f.Behind)}
		if f.As == ledger.FoundReference {
			for _, r := range f.Into.References {
				v.References = append(v.References, referenceRow(u, r))
			}
		} else {
			v.Into = intoView(u, f.Into)
		}
		p.Found = append(p.Found, v)
	}
	return p
}

func lotRows(u rules.Units, uses []ledger.LotUse) []LotRow {
	var rows []LotRow
	for _, l := range uses {
		rows = append(rows, LotRow{l.Batch, materialRow(u, l.Material)})
	}
	return rows
}

func originView(u rules.Units, o ledger.Origin) OriginView {
	return OriginView{Lots: lotRows(u, o.Lots), Batches: o.Batches, Bottles: o.Bottles, Products: o.Products}
}

func intoView(u rules.Units, r ledger.Recall) IntoView {
	v := IntoView{
		Lots: lotRows(u, r.Lots), Batches: r.Batches, Bottles: groupBottles(u, r.Bottles), Count: len(r.Bottles), Left: millilitres(u, r.LeftMl),
		Products: productRows(ledger.Recall{Products: r.Products}),
	}
	for _, o := range r.Bottles {
		if o.LeftMl > 0 {
			v.Standing++
		}
	}
	for _, f := range r.References {
		v.Went = append(v.Went, referenceRow(u, f))
	}
	return v
}

// RenderRecall writes the answer to a recall.
func (t *Pages) RenderRecall(w io.Writer, p RecallPage) error { return t.execute(w, "recall-page", p) }
