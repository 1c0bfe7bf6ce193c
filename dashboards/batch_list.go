package dashboards

import (
	"fmt"
	"io"
	"time"

	"bainward/rules"
	"bainward/rules/batch/ledger"
)

// BatchesPage lists batches, newest first.
type BatchesPage struct {
	GoodsFrame
	Batches []BatchRow
	All     int // batches there are
	Earlier int // number of the page with earlier ones; 0: there is none
	Later   int // number of the page with later ones; 0: there is none
}

// BatchRow is one batch of the list.
type BatchRow struct {
	Number     string
	Bath       string
	Recipe     string
	Opened     time.Time
	Verdict    string // a word of rules.Verdict
	Says       string // the verdict in words
	Strength   string // "1:4.20"; empty: it cannot be reckoned yet
	Bottles    int
	Left       string // in all of them
	Deviations int
	Warnings   int
}

// BatchRowOf puts a line of the books into words.
func BatchRowOf(u rules.Units, l ledger.Line, s ledger.Strength) BatchRow {
	return BatchRow{
		Number: l.Batch, Bath: l.Bath, Recipe: l.Recipe, Opened: l.Opened, Verdict: l.Verdict, Says: verdictWords(l.Verdict),
		Strength: shortStrength(s), Bottles: l.Bottles, Left: millilitres(u, l.LeftMl), Deviations: l.Deviations, Warnings: l.Warnings,
	}
}

func shortStrength(s ledger.Strength) string {
	if s.OneTo == nil {
		return ""
	}
	return fmt.Sprintf("1:%.1f", s.OneTo.P50)
}

// RenderBatches writes the list of batches.
func (t *Pages) RenderBatches(w io.Writer, p BatchesPage) error {
	return t.execute(w, "batches-page", p)
}
