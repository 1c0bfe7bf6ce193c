package app

import (
	"testing"
	"time"

	"bainward/rules/batch/ledger"
)

// An entry that was taken back is told with its reason, also after a restart; the
// books hold it no more.
func TestWhatWasTakenBackIsToldWithItsReason(t *testing.T) {
	k := newKitchen(t)
	number := k.inBottles("A")
	k.entered(ledger.Deviation{Batch: number, Text: "the lid was forgotten"})
	all, err := k.app.GoodsPast(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	last := all[len(all)-1]
	if err := k.app.TakeBack(t.Context(), last.Seq, "it was on", "Sorrel"); err != nil {
		t.Fatal(err)
	}
	for _, when := range []string{"live", "after a restart"} {
		again, err := k.app.GoodsPast(t.Context())
		if err != nil || len(again) != len(all) {
			t.Fatalf("%s: %d entries, want %d (%v)", when, len(again), len(all), err)
		}
		for i, e := range again {
			if void := i == len(all)-1; (e.Void != nil) != void {
				t.Errorf("%s: entry %d (%s): taken back %v", when, e.Seq, e.Fact, e.Void)
			}
		}
		if v := again[len(all)-1].Void; v == nil || v.Reason != "it was on" || v.Who != "Sorrel" || v.Entry <= last.Seq {
			t.Errorf("%s: taken back %+v", when, v)
		}
		if a := k.account(number); len(a.Deviations) != 0 {
			t.Errorf("%s: the deviation counts: %+v", when, a.Deviations)
		}
		k.restart(time.Minute)
	}
}
