package app

import (
	"cmp"
	"fmt"
	"slices"

	"bainward/dashboards/paper"
	"bainward/rules/batch/ledger"
)

// numberedDeed is a deed with the number of its entry.
type numberedDeed struct {
	seq int64
	paper.Deed
}

// who fills in who did what, in the order of the record, and who made it. Where
// nobody signed, the place for a hand stays open: an entry is no signature.
func (w *sheetWriter) who() {
	all := w.signed
	for _, d := range w.told.course.Deeds {
		all = append(all, numberedDeed{d.Entry, paper.Deed{At: d.When, What: deedWords(d), Who: d.Who}})
	}
	for _, f := range w.facts {
		if _, deviation := f.Fact.(ledger.Deviation); !deviation { // it has a table of its own
			all = append(all, numberedDeed{f.Seq, paper.Deed{At: w.where.wall(f.Seq, f.When), What: f.Fact.String(), Who: f.Who}})
		}
	}
	slices.SortFunc(all, func(a, b numberedDeed) int { return cmp.Compare(a.seq, b.seq) })
	for _, d := range all {
		w.out.Deeds = append(w.out.Deeds, d.Deed)
	}
	if by := w.told.course.EndedBy; by != seenBy && w.out.MadeBy.At.IsZero() {
		w.out.MadeBy.Name = by
	}
}

func deedWords(d ledger.Deed) string {
	if !d.Voided {
		return d.Text
	}
	return fmt.Sprintf("%s (taken back by %s: %s)", d.Text, d.VoidedBy, d.Why)
}
