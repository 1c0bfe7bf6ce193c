package app

import (
	"testing"
	"time"

	"bainward/rules/batch/ledger"
)

// A page that never gets done with the books holds nobody up: the bath is polled, a
// batch is closed and another opened, goods are entered and taken back, and others
// read of it. What the page reads stays as it was when it began.
func TestAReaderThatNeverEndsHoldsUpNoPoll(t *testing.T) {
	k := newKitchen(t)
	first := k.inBottles("A")
	reading, end, done := make(chan struct{}), make(chan struct{}), make(chan struct{})
	var before, after ledger.Account
	go func() {
		defer close(done)
		k.app.Books(func(l *ledger.Ledger, _ ledger.Day) {
			before, _ = l.Account(first)
			close(reading)
			<-end
			after, _ = l.Account(first)
			if _, err := l.From("B"); err == nil {
				t.Error("books that were being read took in a later batch")
			}
		})
	}()
	<-reading
	polls := len(k.entries())
	k.pollFor(2 * time.Minute) // would hang here
	if len(k.entries()) == polls {
		t.Error("two minutes of polls left no entry")
	}
	second := k.inBottles("B")
	k.entered(ledger.Given{Batch: first, Bottle: 1, All: true, To: "book 1"}, ledger.Deviation{Batch: first, Text: "a slip"})
	entries := k.entries()
	if err := k.app.TakeBack(t.Context(), entries[len(entries)-1].Seq, "it was none", "Robin"); err != nil {
		t.Fatal(err)
	}
	if a := k.account(first); a.Bottles[0].LeftMl != 0 || len(a.Deviations) != 0 {
		t.Errorf("others read %+v", a)
	}
	if r := k.recall("B"); len(r.Batches) != 1 || r.Batches[0] != second {
		t.Errorf("others find lot B in %q, want %q", r.Batches, second)
	}
	close(end)
	<-done
	if before.Bottles[0].LeftMl != 250 || after.Bottles[0].LeftMl != 250 || len(after.Deviations) != 0 {
		t.Errorf("the page read %+v and then %+v", before, after)
	}
}
