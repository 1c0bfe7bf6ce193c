package ledger

import (
	"strings"
	"testing"
	"time"
)

// march is the first day of the tests' books.
var march = time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)

// yard enters facts as a workshop would, an hour apart.
type yard struct {
	t   testing.TB
	l   Ledger
	seq int64
	now time.Time
}

func newYard(t testing.TB) *yard { return &yard{t: t, now: march} }

func (y *yard) next(f Fact) Entry {
	return Entry{Seq: y.seq + 1, When: y.now, Who: "Robin", Fact: f}
}

// did enters what must be accepted.
func (y *yard) did(facts ...Fact) {
	y.t.Helper()
	for _, f := range facts {
		if err := y.l.Enter(y.next(f)); err != nil {
			y.t.Fatalf("%s: %v", f, err)
		}
		y.seq++
		y.now = y.now.Add(time.Hour)
	}
}

// refuses asks for what must be refused, in words that hold want.
func (y *yard) refuses(f Fact, want string) {
	y.t.Helper()
	if err := y.l.Enter(y.next(f)); err == nil || !strings.Contains(err.Error(), want) {
		y.t.Errorf("%s: got %v, want %q", f, err, want)
	}
}

func (y *yard) after(months int) { y.now = y.now.AddDate(0, months, 0) }

func (y *yard) bottle(id string) Bottle {
	y.t.Helper()
	o, err := y.l.Bottle(id)
	if err != nil {
		y.t.Fatal(err)
	}
	return o
}

func (y *yard) account(number string) Account {
	y.t.Helper()
	a, err := y.l.Account(number)
	if err != nil {
		y.t.Fatal(err)
	}
	return a
}

func amountOf(s string) Amount {
	a, err := ParseAmount(s)
	if err != nil {
		panic(err)
	}
	return a
}

func day(s string) Day {
	d, err := ParseDay(s)
	if err != nil {
		panic(err)
	}
	return d
}

func herb(batch, lot, much string) Material {
	return Material{Batch: batch, What: Herb, Name: "Plantago lanceolata, leaf", Lot: lot, Quantity: amountOf(much), State: Fresh}
}

func oil(batch, lot, much, best string) Material {
	return Material{Batch: batch, What: Oil, Name: "sunflower", Lot: lot, Quantity: amountOf(much), AtC: 20, BestBefore: day(best)}
}

func weighed(batch string, what Weighed, much string) Weighing {
	return Weighing{Batch: batch, What: what, Quantity: amountOf(much)}
}

func filled(batch string, each string, place Place, numbers ...int) Bottles {
	return Bottles{Batch: batch, Numbers: numbers, Each: amountOf(each), AtC: 20, Place: place, Water: NoWater}
}

// first is an ordinary batch: opened, made and filled into three bottles.
func (y *yard) first() {
	y.t.Helper()
	y.did(
		Opened{Batch: "b1", Bath: "north", Recipe: "ribwort"},
		herb("b1", "A", "220 g"), oil("b1", "S-17", "800 ml", "2028-12-31"),
		weighed("b1", OilIn, "736 g"), weighed("b1", Marc, "150 g"), weighed("b1", OilOut, "650 g"), weighed("b1", Water, "10 g"),
		filled("b1", "200 ml", Cool, 1, 2, 3),
	)
}
