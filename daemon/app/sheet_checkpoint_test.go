package app

import (
	"slices"
	"testing"
	"time"

	"bainward/daemon/record"
	"bainward/dashboards/paper"
	"bainward/rules/batch/ledger"
)

// The sheet of a closed batch holds the first signed checkpoint that covers it and
// keeps it; an entry that no checkpoint covers yet is told as that.
func TestASheetHoldsTheCheckpointThatCoversIt(t *testing.T) {
	k := newKitchen(t)
	number := k.inBottles("A")
	k.pollFor(70 * time.Minute) // an hour after bottling it is closed
	s, _ := sheetOf(t, k, k.app.record.Reader, number)
	head, err := record.CheckpointOf(s.Record.Checkpoint)
	if err != nil || head.Seq < s.Record.Entries-1 || !head.Wall.Equal(s.AsOf) {
		t.Fatalf("the checkpoint is %q (%v), of %d entries, dated %s", s.Record.Checkpoint, err, s.Record.Entries, s.AsOf)
	}
	k.hold() // another batch, with checkpoints of its own
	k.did("abandon")
	if later, _ := sheetOf(t, k, k.app.record.Reader, number); later.Record != s.Record {
		t.Errorf("it became %+v", later.Record)
	}
	k.entered(ledger.Moved{Batch: number, Numbers: []int{1}, Place: ledger.Room})
	if moved, _ := sheetOf(t, k, k.app.record.Reader, number); moved.Record.Checkpoint != noCheckpoint {
		t.Errorf("after a later move it is %q", moved.Record.Checkpoint)
	}
}

// signs puts a signature into the record, bound to a checkpoint.
func (k *kitchen) signs(number, who, meaning string, c record.TreeHead) {
	k.t.Helper()
	at := k.app.lastAt
	e, err := record.Of(at, nine.Add(at), "north", record.Signature{Batch: number, By: who, Meaning: meaning, Size: c.Size, Root: c.Root.String()})
	if err != nil {
		k.t.Fatal(err)
	}
	if _, err := k.app.record.Append(k.t.Context(), []record.Entry{e}); err != nil {
		k.t.Fatal(err)
	}
}

// Who signed under a checkpoint that covers the batch stands under its sheet; once
// something is entered after it, the signature is told and no longer stands there.
func TestWhoSignedStandsUnderTheSheet(t *testing.T) {
	k := newKitchen(t)
	number := k.inBottles("A")
	k.pollFor(70 * time.Minute)
	s, _ := sheetOf(t, k, k.app.record.Reader, number)
	head, err := record.CheckpointOf(s.Record.Checkpoint)
	if err != nil {
		t.Fatal(err)
	}
	k.signs(number, "Robin", record.Made, head)
	k.signs(number, "Sorrel", record.Rejected, head)
	k.signs("2026-03-01-north-9", "Sorrel", record.Made, head)
	s, _ = sheetOf(t, k, k.app.record.Reader, number)
	if s.MadeBy.Name != "Robin" || s.MadeBy.At.IsZero() || s.ReviewedBy.Name != "Sorrel: rejected" {
		t.Errorf("under it stand %+v and %+v", s.MadeBy, s.ReviewedBy)
	}
	k.entered(ledger.Moved{Batch: number, Numbers: []int{1}, Place: ledger.Room})
	s, _ = sheetOf(t, k, k.app.record.Reader, number)
	told := slices.ContainsFunc(s.Deeds, func(d paper.Deed) bool {
		return d.Who == "Robin" && d.What == "signed: made, before later entries of this batch"
	})
	if !s.MadeBy.At.IsZero() || s.ReviewedBy.Name != "" || !told {
		t.Errorf("after a later move: %+v, %+v, %+v", s.MadeBy, s.ReviewedBy, s.Deeds)
	}
}
