package ledger

import (
	"fmt"
	"testing"
	"time"
)

// years are the books of batches that were all made with one lot of oil, thirty
// bottles of each.
func years(t testing.TB, batches int) *yard {
	y := newYard(t)
	for i := range batches {
		b := fmt.Sprintf("2026-03-01-north-%d", i+1)
		numbers := make([]int, 30)
		for n := range numbers {
			numbers[n] = n + 1
		}
		y.did(
			Opened{Batch: b, Bath: "north", Recipe: "ribwort"},
			herb(b, fmt.Sprintf("hedge %d", i), "220 g"), oil(b, "S-17", "800 ml", "2030-12-31"),
			weighed(b, OilIn, "736 g"), weighed(b, Marc, "150 g"), weighed(b, OilOut, "650 g"), weighed(b, Water, "10 g"),
			filled(b, "20 ml", Cool, numbers...),
		)
	}
	return y
}

// questions are what pages and an auditor ask of all books at once.
var questions = []struct {
	name string
	ask  func(l *Ledger) error
}{
	{"Batches", func(l *Ledger) error { l.Batches(); return nil }},
	{"From", func(l *Ledger) error { _, err := l.From("s-17"); return err }},
	{"FromBottle", func(l *Ledger) error { _, err := l.FromBottle("2026-03-01-north-7/3"); return err }},
	{"Find", func(l *Ledger) error { _, err := l.Find("s-17"); return err }},
	{"Account", func(l *Ledger) error { _, err := l.Account("2026-03-01-north-7"); return err }},
	{"Shelf", func(l *Ledger) error { l.Shelf(); return nil }},
	{"Waiting", func(l *Ledger) error { l.Waiting(day("2027-01-01")); return nil }},
	{"Clone", func(l *Ledger) error { l.Clone(); return nil }},
}

// Books of four times as many batches cost about four times as much to ask of, and
// not sixteen: no question looks through all books for each batch in them. Counted
// is what is put into memory, for a busy machine's clock tells little; the times are
// printed.
func TestQuestionsGrowNoFasterThanTheBooks(t *testing.T) {
	const few, many = 75, 300
	small, large := years(t, few), years(t, many)
	for _, q := range questions {
		a, b := costs(t, &small.l, q.ask), costs(t, &large.l, q.ask)
		t.Logf("%-10s %10s of %d batches, %10s of %d; %.1f times the memory", q.name,
			took(t, &small.l, q.ask).Round(time.Microsecond), few, took(t, &large.l, q.ask).Round(time.Microsecond), many, b/a)
		if b > 5*a {
			t.Errorf("%s: %.0f allocations of %d batches, %.0f of %d", q.name, a, few, b, many)
		}
	}
}

// The list of batches looks each oil up as often for thirty bottles as for three: it
// costs less than twice as much.
func TestBottlesDoNotLookTheirOilUp(t *testing.T) {
	one, thirty := newYard(t), years(t, 1)
	one.first()
	batches := func(l *Ledger) error { l.Batches(); return nil }
	if a, b := costs(t, &one.l, batches), costs(t, &thirty.l, batches); b > 2*a {
		t.Errorf("%.0f allocations with three bottles, %.0f with thirty", a, b)
	}
}

// costs is how many allocations a question takes.
func costs(t testing.TB, l *Ledger, ask func(*Ledger) error) float64 {
	t.Helper()
	return testing.AllocsPerRun(1, func() {
		if err := ask(l); err != nil {
			t.Fatal(err)
		}
	})
}

// took is how long a question takes, the least of a few tries.
func took(t testing.TB, l *Ledger, ask func(*Ledger) error) time.Duration {
	t.Helper()
	least := time.Hour
	for range 3 {
		began := time.Now()
		if err := ask(l); err != nil {
			t.Fatal(err)
		}
		least = min(least, time.Since(began))
	}
	return least
}
