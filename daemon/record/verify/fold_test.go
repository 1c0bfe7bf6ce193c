package verify

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"testing"

	"bainward/daemon/record"
)

// A fault in one batch hides none in the next, and it makes no difference how many
// work at it.
func TestEachBatchIsJudgedByItself(t *testing.T) {
	k := soundRecords(t)["by a scribe"]
	phases := 0
	changed := k.rewritten(t, k.privates, func(all []record.Entry) []record.Entry {
		for i := range all {
			if all[i].Kind == record.KindPhase && bytes.Contains(all[i].Body, []byte(`"abandoned"`)) {
				all[i].Body = bytes.Replace(all[i].Body, []byte(`"abandoned"`), []byte(`"bottled"`), 1)
				phases++
			}
		}
		return all
	})
	if phases != 2 {
		t.Fatalf("%d batches were abandoned, want 2", phases)
	}
	var before string
	for _, workers := range []int{1, 2, 7} {
		r := verified(t, changed.path, Options{Version: "test", Workers: workers})
		slices.SortFunc(r.Findings, func(a, b Finding) int { return cmp.Compare(a.Entry, b.Entry) })
		if len(r.Findings) != 2 || r.Findings[0].Bath != "south" || r.Findings[1].Bath != "north" {
			t.Errorf("with %d workers found %+v", workers, r.Findings)
		}
		now := fmt.Sprintf("%+v %d", r.Findings, r.Totals.Followed)
		if before != "" && now != before {
			t.Errorf("with %d workers %s, before %s", workers, now, before)
		}
		before = now
	}
}

// The log of a bath is cut where a batch opens and at restarts between batches,
// nowhere else, and each part knows its neighbours.
func TestTheLogIsCutWhereABatchOpens(t *testing.T) {
	o := must(open(t.Context(), soundRecords(t)["by a scribe"].path))
	defer o.close()
	v := verifier{file: o, baths: must(readBaths(t.Context(), o.db))}
	of := map[string]string{}
	all := must(v.segments(t.Context()))
	for i, s := range all {
		at := "restart"
		if s.opens {
			at = "batch"
		}
		of[s.bath] += " " + at
		if s.next >= 0 && (all[s.next].before != i || s.until <= s.from) {
			t.Errorf("segment %d: %+v", i, s)
		}
	}
	// Each begins at the beginning, which is told as a restart. North: the first
	// start, two batches, the second restart. South: its one batch lies across a
	// restart.
	if of["north"] != " restart restart batch batch restart" || of["south"] != " restart restart batch restart" {
		t.Errorf("cut at %v", of)
	}
}
