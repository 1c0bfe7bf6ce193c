package ledger

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

// However facts fall, and whichever of two books they are entered into: books and
// their clones never change each other, and a clone that is entered into says what
// books say that were never cloned.
func TestClonesLeaveEachOtherAsTheyAre(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, taken := books(t)
		now, seq := taken[len(taken)-1].When, taken[len(taken)-1].Seq
		branches := []*Ledger{l, l.Clone(), l.Clone()}
		alone := make([]*Ledger, len(branches))
		for i := range branches {
			alone[i] = new(Ledger)
			for _, e := range taken {
				if err := alone[i].Enter(e); err != nil {
					t.Fatal(err)
				}
			}
		}
		for range rapid.IntRange(1, 12).Draw(t, "more") {
			i := rapid.IntRange(0, len(branches)-1).Draw(t, "branch")
			seq, now = seq+1, now.Add(time.Hour)
			e := Entry{Seq: seq, When: now, Who: "Sorrel", Fact: anyFact().Draw(t, "fact")}
			err, want := branches[i].Enter(e), alone[i].Enter(e)
			if (err == nil) != (want == nil) {
				t.Fatalf("%s: a clone says %v, other books %v", e.Fact, err, want)
			}
		}
		for i, b := range branches {
			if got, want := summary(t, b), summary(t, alone[i]); got != want {
				t.Fatalf("books %d say\n%s\nwant\n%s", i, got, want)
			}
		}
	})
}
