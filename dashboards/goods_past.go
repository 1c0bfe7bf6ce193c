package dashboards

import (
	"slices"
	"time"

	"bainward/rules"
	"bainward/rules/batch/ledger"
)

// GoodsEntry is a fact of goods as it was recorded, taken back or not.
type GoodsEntry struct {
	ledger.Entry
	Void *GoodsVoid // nil: it counts
}

// GoodsVoid is the entry by which another was taken back.
type GoodsVoid struct {
	Entry  int64
	When   time.Time
	Who    string
	Reason string
}

// PastRow is an entry of goods in words.
type PastRow struct {
	Entry int64
	When  time.Time
	Who   string
	Text  string
	Void  *GoodsVoid
}

// pastRows puts entries into words, newest first. about is the batch of the page:
// an entry of anything else says what it is of.
func pastRows(u rules.Units, entries []GoodsEntry, about string) []PastRow {
	var rows []PastRow
	for _, e := range entries {
		rows = append(rows, pastRow(u, e, about))
	}
	slices.Reverse(rows)
	return rows
}

func pastRow(u rules.Units, e GoodsEntry, about string) PastRow {
	row := PastRow{Entry: e.Seq, When: e.When, Who: e.Who, Text: SayFact(u, e.Fact), Void: e.Void}
	if g, ok := e.Fact.(ledger.Given); ledger.Of(e.Fact) != about && (!ok || g.Bottle > 0) {
		row.Text = ledger.Of(e.Fact) + ": " + row.Text
	}
	return row
}
