package ledger

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// sold is a yard whose second batch was made with oil of the first, and whose
// cream went to two references.
func sold(t testing.TB) *yard {
	y := newYard(t)
	y.did(
		Opened{Batch: "b1", Bath: "north"}, herb("b1", "Hedge 3", "220 g"), oil("b1", "S-17", "800 ml", "2028-12-31"), filled("b1", "100 ml", Cool, 1, 2),
		Opened{Batch: "b2", Bath: "south"}, herb("b2", "C", "200 g"), oil("b2", "b1/2", "100 ml", "2028-12-31"), filled("b2", "90 ml", Cool, 1),
		Given{Batch: "b1", Bottle: 1, Quantity: amountOf("60 ml"), Product: "cream-4", Name: "ribwort cream"},
		Given{Batch: "b1", Bottle: 1, Quantity: amountOf("10 ml"), To: "Book 12"},
		Given{Batch: "cream-4", Quantity: amountOf("50 g"), To: "book 12"},
		Given{Batch: "cream-4", All: true, To: "book 15"},
	)
	return y
}

// shape says a find in a line: what it is, what is behind it, what it went into.
func shape(f Found) string {
	var lots, bottles, products, refs []string
	for _, u := range f.Behind.Lots {
		lots = append(lots, u.Material.Fact.Lot)
	}
	for _, o := range f.Into.Bottles {
		bottles = append(bottles, o.ID)
	}
	for _, p := range f.Into.Products {
		products = append(products, p.Number)
	}
	for _, r := range f.Into.References {
		refs = append(refs, r.From+">"+r.To)
	}
	return fmt.Sprintf("%s %s: %v %v %v; %v %v %v %v", f.As, f.Name, lots, f.Behind.Batches, f.Behind.Bottles, f.Into.Batches, bottles, products, refs)
}

// One question takes a lot, a batch, a bottle, a product by number or name, or a
// reference, and is answered both ways.
func TestAnyNameIsFollowedBothWays(t *testing.T) {
	y := sold(t)
	for ask, want := range map[string][]string{
		"HEDGE3":        {"lot Hedge 3: [] [] []; [b1 b2] [b1/1 b1/2 b2/1] [cream-4] [b1/1>Book 12 cream-4>book 12 cream-4>book 15]"},
		"b1":            {"batch b1: [Hedge 3 S-17] [] []; [b2] [b1/1 b1/2 b2/1] [cream-4] [b1/1>Book 12 cream-4>book 12 cream-4>book 15]"},
		"b1/1":          {"bottle b1/1: [Hedge 3 S-17] [b1] []; [] [b1/1] [cream-4] [b1/1>Book 12 cream-4>book 12 cream-4>book 15]"},
		"b1/2":          {"lot b1/2: [Hedge 3 S-17] [b1] [b1/2]; [b2] [b2/1] [] []", "bottle b1/2: [Hedge 3 S-17] [b1] []; [b2] [b1/2 b2/1] [] []"},
		"b2/1":          {"bottle b2/1: [C b1/2 Hedge 3 S-17] [b2 b1] [b1/2]; [] [b2/1] [] []"},
		"cream-4":       {"product cream-4: [Hedge 3 S-17] [b1] [b1/1]; [] [] [] [cream-4>book 12 cream-4>book 15]"},
		"ribwort Cream": {"product cream-4: [Hedge 3 S-17] [b1] [b1/1]; [] [] [] [cream-4>book 12 cream-4>book 15]"},
		"book 12":       {"reference Book 12: [Hedge 3 S-17] [b1] [b1/1]; [] [] [] [b1/1>Book 12 cream-4>book 12]"},
	} {
		all, err := y.l.Find(ask)
		if err != nil {
			t.Errorf("%s: %v", ask, err)
		}
		var got []string
		for _, f := range all {
			got = append(got, shape(f))
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s:\n got %s\nwant %s", ask, strings.Join(got, "\n     "), strings.Join(want, "\n     "))
		}
	}
}

// What is behind and ahead of a name is the same that Behind, From and FromBottle
// say of it.
func TestAFindSaysWhatARecallSays(t *testing.T) {
	y := sold(t)
	for _, id := range []string{"b1/1", "b1/2", "b2/1"} {
		all, err := y.l.Find(id)
		if err != nil {
			t.Fatal(err)
		}
		found := all[len(all)-1]
		behind, _ := y.l.Behind(id)
		into, _ := y.l.FromBottle(id)
		if len(found.Behind.Lots) != len(behind.Lots) || !slices.Equal(found.Behind.Batches, behind.Batches) || found.Into.LeftMl != into.LeftMl || len(found.Into.References) != len(into.References) {
			t.Errorf("%s: found %+v, want %+v and %+v", id, found, behind, into)
		}
	}
}

// A name that is nowhere is refused with the one that may be meant; so is nothing.
func TestANameThatIsNowhereGetsAHint(t *testing.T) {
	y := sold(t)
	for ask, want := range map[string]string{"hegde 3": `did you mean "Hedge 3"?`, "book 19": `did you mean`, "  ": "is not in the record"} {
		_, err := y.l.Find(ask)
		if unknown := new(UnknownError); !errors.As(err, &unknown) || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, want %q", ask, err, want)
		}
	}
}

// The strength by itself is that of the account, and materials come newest first.
func TestStrengthAndMaterialsByThemselves(t *testing.T) {
	y := sold(t)
	s, err := y.l.Strength("b1")
	if want := y.account("b1").Strength; err != nil || s.OneTo == nil || *s.OneTo != *want.OneTo {
		t.Errorf("got %+v, %v", s, err)
	}
	if _, err := y.l.Strength("b9"); err == nil {
		t.Error("batch b9 has a strength")
	}
	if all := y.l.Materials(); len(all) != 4 || all[0].Lot != "b1/2" || all[3].Lot != "Hedge 3" {
		t.Errorf("materials: %+v", all)
	}
}

// What the books remember of names is what a look through all of them finds.
func TestTheIndexIsWhatALookThroughAllFinds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, taken := books(t)
		if seq := rapid.SampledFrom(taken).Draw(t, "taken back").Seq; rapid.Bool().Draw(t, "take back") {
			_ = l.Void(seq) // be it refused
		}
		for _, key := range []string{"a", "b", "c", "b1", "b1/1", "b2/2", "p1", "p2", "b1/9", "x"} {
			took, made := map[node]bool{}, map[node]bool{}
			for _, number := range l.numbers {
				if lotKey(number) == key {
					made[node{makeNode, number}] = true
				}
				if b := l.batches[number]; b != nil {
					for _, m := range b.materials {
						if lotKey(m.Fact.Lot) == key {
							took[node{makeNode, number}] = true
						}
					}
					for _, o := range b.bottles {
						if lotKey(o.id()) == key {
							made[node{bottleNode, o.id()}] = true
						}
					}
				}
			}
			if got := l.into(node{lotNode, key}); !same(got, took) {
				t.Errorf("lot %s went into %v, want %v", key, got, took)
			}
			if got := l.outOf(node{lotNode, key}); !same(got, made) {
				t.Errorf("lot %s is %v, want %v", key, got, made)
			}
		}
	})
}

// same reports whether got are those of want, each once.
func same(got []node, want map[node]bool) bool {
	seen := map[node]bool{}
	for _, n := range got {
		seen[n] = want[n]
	}
	return len(got) == len(want) && maps.Equal(seen, want)
}

// The newest batches are those of the list, backwards, however many are asked for.
func TestTheNewestBatchesComeFirst(t *testing.T) {
	y := sold(t)
	y.did(Opened{Batch: "b3", Bath: "north"})
	for _, c := range []struct {
		skip, count int
		want        []string
	}{{0, 2, []string{"b3", "b2"}}, {2, 2, []string{"b1"}}, {3, 2, nil}, {9, 9, nil}, {-1, 1, []string{"b3"}}, {0, -1, nil}} {
		lines, all := y.l.Newest(c.skip, c.count)
		var got []string
		for _, line := range lines {
			got = append(got, line.Batch)
		}
		if !slices.Equal(got, c.want) || all != 3 {
			t.Errorf("%d after %d: %v of %d, want %v", c.count, c.skip, got, all, c.want)
		}
	}
	if lines, _ := y.l.Newest(2, 1); lines[0].Bottles != 2 || lines[0].LeftMl != y.l.Batches()[0].LeftMl {
		t.Errorf("the oldest is %+v, want %+v", lines[0], y.l.Batches()[0])
	}
}

// As many bottles wait as are due, on any day and wherever they stood.
func TestAsManyWaitAsAreDue(t *testing.T) {
	y := sold(t)
	y.did(Moved{Batch: "b1", Numbers: []int{2}, Place: Room}, Smelled{Batch: "b2", Numbers: []int{1}, Smell: Rancid})
	seen := map[int]bool{}
	for _, today := range []string{"2026-03-02", "2026-06-01", "2026-06-02", "2027-03-01", "2027-03-02", "2029-01-01"} {
		got, want := y.l.Waiting(day(today)), len(y.l.Due(day(today)))
		if got != want {
			t.Errorf("%s: %d wait, want %d", today, got, want)
		}
		seen[got] = true
	}
	if len(seen) < 2 {
		t.Errorf("all days are alike: %v", seen)
	}
}
