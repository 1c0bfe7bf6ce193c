package ledger

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// anyFact draws a fact about few names, so that facts meet. Many of them are
// impossible, and are to be refused.
func anyFact() *rapid.Generator[Fact] {
	pick := func(words ...string) *rapid.Generator[string] { return rapid.SampledFrom(words) }
	number := pick("b1", "b1", "b2", "b2", "b3", "p1", "p2")
	lot := pick("A", "a", "B", "C", "b1/1", "b2/2", "b1", "p1")
	numbers := rapid.SliceOfNDistinct(rapid.IntRange(1, 4), 1, 3, rapid.ID[int])
	best := pick("2026-08-01", "2027-01-31", "2029-01-01", "")
	place := rapid.SampledFrom([]Place{Room, Cool, Fridge})
	return rapid.Custom(func(t *rapid.T) Fact {
		b := number.Draw(t, "of")
		switch rapid.IntRange(0, 9).Draw(t, "kind") {
		case 0:
			return Opened{Batch: b, Bath: "north"}
		case 1:
			return Material{Batch: b, What: Herb, Name: "ribwort", Lot: lot.Draw(t, "lot"), Quantity: amountOf("220 g"), State: Fresh, Pass: rapid.IntRange(0, 2).Draw(t, "pass")}
		case 2:
			d, _ := ParseDay(best.Draw(t, "best"))
			return Material{Batch: b, What: Oil, Name: pick("olive", "sunflower", "coconut").Draw(t, "oil"), Lot: lot.Draw(t, "lot"), Quantity: amountOf(pick("800 ml", "1 kg", "20 floz").Draw(t, "much")), AtC: 18, BestBefore: d}
		case 3:
			return Weighing{Batch: b, What: rapid.SampledFrom([]Weighed{OilIn, Marc, OilOut, Water}).Draw(t, "what"), Quantity: amountOf(pick("10 g", "640 g", "1.2 lb").Draw(t, "much")), Pass: rapid.IntRange(0, 2).Draw(t, "pass")}
		case 4, 5:
			d, _ := ParseDay(best.Draw(t, "use by"))
			return Bottles{Batch: b, Numbers: numbers.Draw(t, "numbers"), Each: amountOf(pick("100 ml", "3.4 floz", "92 g").Draw(t, "each")), AtC: 21, Place: place.Draw(t, "place"), UseBy: d, Water: rapid.SampledFrom([]Seen{"", NoWater, WaterIn}).Draw(t, "water")}
		case 6:
			return Moved{Batch: b, Numbers: numbers.Draw(t, "numbers"), Place: place.Draw(t, "place")}
		case 7:
			return Smelled{Batch: b, Numbers: numbers.Draw(t, "numbers"), Smell: rapid.SampledFrom([]Smell{Fine, Fine, Fine, Rancid}).Draw(t, "smell")}
		}
		g := Given{Batch: b, Bottle: rapid.IntRange(0, 4).Draw(t, "bottle"), Despite: pick("", "asked for").Draw(t, "despite")}
		if g.All = rapid.Bool().Draw(t, "all"); !g.All {
			g.Quantity = amountOf(pick("33.3 ml", "1 floz", "30 g", "100 ml").Draw(t, "much"))
		}
		switch rapid.IntRange(0, 2).Draw(t, "to") {
		case 0:
			g.To = pick("book 1", "book 2").Draw(t, "reference")
		case 1:
			g.Product = number.Draw(t, "product")
		default:
			g.Thrown, g.Despite = true, ""
		}
		return g
	})
}

// books enters drawn facts and returns those that were taken.
func books(t *rapid.T) (l *Ledger, taken []Entry) {
	l = new(Ledger)
	now := march
	facts := append(
		[]Fact{Opened{Batch: "b1", Bath: "north"}, Opened{Batch: "b2", Bath: "north"}, Opened{Batch: "b3", Bath: "south"}},
		rapid.SliceOfN(anyFact(), 20, 60).Draw(t, "facts")...)
	for i, f := range facts {
		now = now.Add(time.Duration(rapid.IntRange(0, 60).Draw(t, "days")) * 24 * time.Hour)
		e := Entry{Seq: int64(i + 1), When: now, Who: "Robin", Fact: f}
		if l.Enter(e) == nil {
			taken = append(taken, e)
		}
	}
	return l, taken
}

// However the facts fall, what was filled is what is left and what went, to the
// microlitre; what went into a batch is what came out and what is gone; and what
// came out is in bottles or is not.
func TestNothingIsLostFromTheBooks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, _ := books(t)
		for _, line := range l.Batches() {
			a, err := l.Account(line.Batch)
			if err != nil {
				t.Fatal(err)
			}
			var filled, left, given int64
			for _, o := range a.Bottles {
				went := int64(0)
				for _, g := range o.Given {
					went += micro(g.Ml)
				}
				if micro(o.LeftMl) < 0 || micro(o.FilledMl) != micro(o.LeftMl)+went {
					t.Fatalf("bottle %s: %g ml filled, %g left, %d µl given", o.ID, o.FilledMl, o.LeftMl, went)
				}
				filled, left, given = filled+micro(o.FilledMl), left+micro(o.LeftMl), given+went
			}
			b := a.Balance
			if micro(b.BottledMl) != filled || micro(b.LeftMl) != left || micro(b.GivenMl) != given {
				t.Fatalf("batch %s: %+v, bottles say %d, %d, %d µl", a.Batch, b, filled, left, given)
			}
			if b.Lacks == "" && math.Abs(b.InKg.P50-b.OutKg.P50-b.GoneKg.P50) > 2e-6 {
				t.Fatalf("batch %s: in %v, out %v, gone %v", a.Batch, b.InKg, b.OutKg, b.GoneKg)
			}
			if b.UnbottledKg != nil && math.Abs(b.OilOutKg.P50-b.BottledKg.P50-b.UnbottledKg.P50) > 2e-6 {
				t.Fatalf("batch %s: oil out %v, bottled %v, unbottled %v", a.Batch, b.OilOutKg, b.BottledKg, b.UnbottledKg)
			}
		}
	})
}

func micro(ml float64) int64 { return int64(math.Round(ml * 1000)) }

// No bottle is said to be good longer than any oil in it, and no fact but a
// correction ever makes a date later.
func TestNoBottleOutlivesItsOil(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, taken := books(t)
		l := new(Ledger)
		best, before := map[string]Day{}, map[string]Day{}
		for _, e := range taken {
			if err := l.Enter(e); err != nil {
				t.Fatal(err)
			}
			if m, ok := e.Fact.(Material); ok && m.What == Oil && !m.BestBefore.IsZero() {
				if d := best[m.Batch]; d.IsZero() || m.BestBefore.Before(d) {
					best[m.Batch] = m.BestBefore
				}
			}
			for _, o := range l.Shelf() {
				if d := best[o.Batch]; !d.IsZero() && d.Before(o.UseBy) {
					t.Fatalf("%s is good until %s, its oil until %s", o.ID, o.UseBy, d)
				}
				if d, ok := before[o.ID]; ok && d.Before(o.UseBy) {
					t.Fatalf("%s was good until %s, and after %q until %s", o.ID, d, e.Fact, o.UseBy)
				}
				before[o.ID] = o.UseBy
			}
		}
	})
}

// links lists, from the facts alone, which lot, bottle or made thing went
// straight into which.
func links(taken []Entry) (all [][2]string) {
	lots := map[string]bool{}
	add := func(from, into string) { all = append(all, [2]string{from, into}) }
	for _, e := range taken {
		switch f := e.Fact.(type) {
		case Material:
			lots[strings.ToLower(f.Lot)] = true
			add("lot "+strings.ToLower(f.Lot), "made "+f.Batch)
		case Bottles:
			for _, n := range f.Numbers {
				add("made "+f.Batch, fmt.Sprintf("bottle %s/%d", f.Batch, n))
			}
		case Given:
			from := "made " + f.Batch
			if f.Bottle > 0 {
				from = fmt.Sprintf("bottle %s/%d", f.Batch, f.Bottle)
			}
			if f.Product != "" {
				add(from, "made "+f.Product)
			}
		}
	}
	for lot := range lots { // of oils that were made here
		add("made "+lot, "lot "+lot)
		add("bottle "+lot, "lot "+lot)
	}
	return all
}

// reach follows links from start until nothing new comes.
func reach(start string, links [][2]string) map[string]bool {
	seen := map[string]bool{start: true}
	for grown := true; grown; {
		grown = false
		for _, l := range links {
			if seen[l[0]] && !seen[l[1]] {
				seen[l[1]], grown = true, true
			}
		}
	}
	return seen
}

// A lot went into a bottle or product exactly if the lot stands behind it, and
// both are what following the facts one by one by hand gives.
func TestLineageIsTheSameBothWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, taken := books(t)
		facts := links(taken)
		for _, lot := range []string{"A", "B", "C", "b1/1", "b2/2", "b1", "p1"} {
			want := reach("lot "+strings.ToLower(lot), facts)
			r, err := l.From(lot)
			if unknown := new(UnknownError); errors.As(err, &unknown) {
				if len(want) > 1 {
					t.Fatalf("lot %s is unknown, and went into %v", lot, want)
				}
				continue
			}
			var bottles, products []string
			for _, o := range r.Bottles {
				bottles = append(bottles, o.ID)
			}
			for _, p := range r.Products {
				products = append(products, p.Number)
			}
			for _, name := range append(l.bottleNames(), l.numbers...) {
				kind, found := "made ", slices.Contains(r.Batches, name) || slices.Contains(products, name)
				if strings.Contains(name, "/") {
					kind, found = "bottle ", slices.Contains(bottles, name)
				}
				if found != want[kind+name] {
					t.Fatalf("lot %s: from it came %s: %v, the facts say %v", lot, name, found, want[kind+name])
				}
				o, err := l.Behind(name)
				if err != nil {
					t.Fatal(err)
				}
				behind := slices.ContainsFunc(o.Lots, func(u LotUse) bool { return strings.EqualFold(u.Material.Fact.Lot, lot) })
				if behind != found {
					t.Fatalf("lot %s went into %s: %v, stands behind it: %v", lot, name, found, behind)
				}
			}
		}
	})
}

// Taking an entry back leaves the books as if it had never been made, or leaves
// them as they were.
func TestTakingBackIsNeverHavingEntered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, taken := books(t)
		seq := rapid.SampledFrom(taken).Draw(t, "entry").Seq
		want := new(Ledger)
		fits := true
		for _, e := range taken {
			if e.Seq != seq {
				fits = fits && want.Enter(e) == nil
			}
		}
		before := summary(t, l)
		_, people := l.Has(seq)
		err := l.Void(seq)
		if (err == nil) != (fits && people) {
			t.Fatalf("taking back entry %d: %v; the rest fits: %v", seq, err, fits)
		}
		expect := before
		if err == nil {
			expect = summary(t, want)
		}
		if got := summary(t, l); got != expect {
			t.Fatalf("without entry %d (%v) the books say\n%s\nwant\n%s", seq, err, got, expect)
		}
	})
}

// summary is all that the books tell.
func summary(t *rapid.T, l *Ledger) string {
	all := []any{l.Batches(), l.Shelf(), l.productNumbers()}
	for _, n := range l.batchNumbers() {
		a, err := l.Account(n)
		all = append(all, a, err)
	}
	text, err := json.Marshal(all)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
