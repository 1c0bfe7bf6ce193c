package app

import (
	"strings"
	"testing"
	"time"

	"bainward/daemon/record"
	"bainward/dashboards"
	"bainward/rules/batch/ledger"
)

// A signature is bound to a checkpoint that covers all of the batch, stands in the
// record with its meaning, and what is entered afterwards is counted beside it.
func TestASignatureIsBoundToTheRecordAsItStands(t *testing.T) {
	k := newKitchen(t)
	k.hold()
	number := k.batch()
	s := dashboards.Signature{By: "Sorrel", Role: "auditor", Meaning: record.Reviewed}
	if err := k.app.Sign(t.Context(), number, s); err == nil || !strings.Contains(err.Error(), "still open") {
		t.Errorf("an open batch was signed: %v", err)
	}
	if err := k.app.Sign(t.Context(), "nowhere", s); err == nil {
		t.Error("a batch that is not there was signed")
	}
	end(k)
	if err := k.app.Sign(t.Context(), number, dashboards.Signature{Meaning: record.Reviewed}); err == nil {
		t.Error("nobody signed it")
	}
	if err := k.app.Sign(t.Context(), number, dashboards.Signature{By: "Sorrel", Meaning: "seen"}); err == nil {
		t.Error("it was signed without a meaning")
	}
	if err := k.app.Sign(t.Context(), number, s); err != nil {
		t.Fatal(err)
	}
	var own record.Checkpoint
	var kept record.Signature
	at, _ := newestOf(t, k, &own)
	e, ok := newestOf(t, k, &kept)
	head, err := record.CheckpointOf(own.Note)
	if err != nil || !ok || e.Seq <= at.Seq || kept.Size != head.Size || kept.Root != head.Root.String() || kept.By != "Sorrel" {
		t.Errorf("entry %d holds %+v, want it bound to entry %d, %+v (%v)", e.Seq, kept, at.Seq, head, err)
	}
	if _, err := k.app.Enter(t.Context(), ledger.Deviation{Batch: number, Text: "seen later"}, "Robin"); err != nil {
		t.Fatal(err)
	}
	k.poll(time.Second)
	all, err := k.app.Signatures(t.Context(), number)
	if err != nil || len(all) != 1 || all[0].After != 1 || all[0].Meaning != record.Reviewed || all[0].Size != head.Size {
		t.Errorf("the signatures are %+v (%v), want one with one entry after it", all, err)
	}
}

// What a page lets somebody choose is what the record keeps.
func TestThePageOffersTheMeaningsOfTheRecord(t *testing.T) {
	offered := dashboards.Meanings()
	if len(offered) != len(record.Meanings()) {
		t.Fatalf("the page offers %v, the record keeps %v", offered, record.Meanings())
	}
	for _, m := range offered {
		if !strings.Contains(strings.Join(record.Meanings(), " "), m.Word) {
			t.Errorf("the record does not keep %q", m.Word)
		}
	}
}
