package web

import (
	"context"
	"net/http/httptest"
	"slices"
	"sync"
	"testing"
	"time"

	"bainward/dashboards"
	"bainward/rules/batch/ledger"
)

// keeper is a Doer that keeps books in memory, as the daemon would.
type keeper struct {
	*fakeDoer
	t      *testing.T
	mu     sync.Mutex
	books  ledger.Ledger
	past   []dashboards.GoodsEntry
	seq    int64
	now    time.Time // of the next entry
	course ledger.Course
	broken error // of Course
	lost   error // of GoodsPast
}

func newKeeper(t *testing.T) *keeper {
	k := &keeper{
		fakeDoer: newFakeDoer(), t: t, now: time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC),
		course: ledger.Course{HoldS: 7212, Verdict: "held", Phases: []ledger.PhaseAt{}, AlarmKind: []ledger.AlarmOf{}},
	}
	k.put(ledger.Opened{Batch: "2026-03-01-north-1", Bath: "north", Recipe: "ribwort-fresh"})
	return k
}

func (k *keeper) put(facts ...ledger.Fact) {
	k.t.Helper()
	for _, f := range facts {
		if _, err := k.Enter(k.t.Context(), f, "Robin"); err != nil {
			k.t.Fatal(err)
		}
	}
}

func (k *keeper) Books(read func(*ledger.Ledger, ledger.Day)) {
	k.mu.Lock()
	defer k.mu.Unlock()
	read(&k.books, ledger.DayOf(time.Date(2026, 6, 1, 9, 0, 0, 0, time.UTC)))
}

func (k *keeper) Course(context.Context, string) (ledger.Course, error) { return k.course, k.broken }

func (k *keeper) GoodsPast(context.Context) ([]dashboards.GoodsEntry, error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	return slices.Clone(k.past), k.lost
}

func (k *keeper) Enter(_ context.Context, f ledger.Fact, who string) (ledger.Fact, error) {
	k.mu.Lock()
	defer k.mu.Unlock()
	f = k.books.Complete(f)
	e := ledger.Entry{Seq: k.seq + 1, When: k.now, Who: who, Fact: f}
	if err := k.books.Enter(e); err != nil {
		return f, err
	}
	k.seq++
	switch f.(type) {
	case ledger.Opened, ledger.Closed:
	default:
		k.past = append(k.past, dashboards.GoodsEntry{Entry: e})
	}
	return f, nil
}

func (k *keeper) TakeBack(_ context.Context, entry int64, reason, who string) error {
	k.mu.Lock()
	defer k.mu.Unlock()
	if err := k.books.Void(entry); err != nil {
		return err
	}
	k.seq++
	for i, e := range k.past {
		if e.Seq == entry {
			k.past[i].Void = &dashboards.GoodsVoid{Entry: k.seq, When: k.now, Who: who, Reason: reason}
		}
	}
	return nil
}

func amountOf(t *testing.T, s string) ledger.Amount {
	t.Helper()
	a, err := ledger.ParseAmount(s)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func dayOf(t *testing.T, s string) ledger.Day {
	t.Helper()
	d, err := ledger.ParseDay(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// yardKeeper is a keeper with all that may be on a shelf: a batch of March, some
// of it in a cream and given out; a rancid one, one past its date, one with water
// in it, and one that has just begun.
func yardKeeper(t *testing.T) *keeper {
	t.Helper()
	k := newKeeper(t)
	herb := func(batch, lot string) ledger.Material {
		return ledger.Material{Batch: batch, What: ledger.Herb, Name: "Plantago lanceolata, leaf", Lot: lot, Quantity: amountOf(t, "220 g"), State: ledger.Fresh}
	}
	oil := func(batch, lot, best string) ledger.Material {
		return ledger.Material{Batch: batch, What: ledger.Oil, Name: "sunflower", Lot: lot, BestBefore: dayOf(t, best), Quantity: amountOf(t, "800 ml"), AtC: 20}
	}
	weighed := func(batch string, what ledger.Weighed, much string) ledger.Weighing {
		return ledger.Weighing{Batch: batch, What: what, Quantity: amountOf(t, much), Within: amountOf(t, "1 g")}
	}
	filled := func(batch string, count int, place ledger.Place) ledger.Bottles {
		return ledger.Bottles{Batch: batch, Count: count, Each: amountOf(t, "100 ml"), AtC: 21, Place: place, Label: true, Water: ledger.NoWater}
	}
	const first, second, third, open = "2026-03-01-north-1", "2026-03-02-south-1", "2026-03-03-north-1", "2026-05-30-north-1"
	k.put(
		herb(first, "hedge 28/2"), oil(first, "S-17", "2027-05-31"),
		weighed(first, ledger.Marc, "190 g"), weighed(first, ledger.OilOut, "640 g"), weighed(first, ledger.Water, "40 g"),
		filled(first, 6, ledger.Cool),
		ledger.Moved{Batch: first, Numbers: []int{1, 2}, Place: ledger.Room},
		ledger.Given{Batch: first, Bottle: 1, Quantity: amountOf(t, "60 ml"), Product: "cream-4", Name: "ribwort cream"},
		ledger.Given{Batch: first, Bottle: 3, All: true, To: "book 12"},
		ledger.Given{Batch: "cream-4", Quantity: amountOf(t, "50 g"), To: "book 14"},
		ledger.Deviation{Batch: first, Text: "The hob went out for four minutes", Explanation: "lit again; the hold was counted on by the rules"},
		ledger.Deviation{Batch: first, Text: "the lid was forgotten"},
		ledger.Closed{Batch: first, Verdict: "held"},
	)
	if err := k.TakeBack(t.Context(), k.seq-1, "it was on, see the photograph", "Sorrel"); err != nil {
		t.Fatal(err)
	}
	k.put(
		ledger.Opened{Batch: second, Bath: "south", Recipe: "marigold-dried"}, herb(second, "hedge 28/2"), oil(second, "S-16", "2026-05-15"),
		filled(second, 2, ledger.Room), ledger.Closed{Batch: second, Verdict: "short"},
		ledger.Opened{Batch: third, Bath: "north", Recipe: "ribwort-fresh"}, herb(third, "meadow 2"), oil(third, first+"/4", "2027-05-31"),
		weighed(third, ledger.Marc, "10 g"), weighed(third, ledger.OilOut, "300 g"),
		filled(third, 3, ledger.Fridge), ledger.Smelled{Batch: third, Numbers: []int{2}, Smell: ledger.Rancid}, ledger.Closed{Batch: third, Verdict: "spoiled"},
	)
	k.now = time.Date(2026, 5, 30, 8, 0, 0, 0, time.UTC)
	k.put(ledger.Opened{Batch: open, Bath: "north", Recipe: "ribwort-fresh"})
	oilMax := 95.1
	k.course = ledger.Course{
		Verdict: "held", HoldS: 7212, AskedS: 7200, OilMaxC: &oilMax, TopUps: 3, Alarms: 2,
		Passes:    []ledger.PassCourse{{Pass: 1, From: k.now, To: k.now.Add(3 * time.Hour), HoldS: 7212, AskedS: 7200, OilMaxC: &oilMax, Verdict: "held"}},
		Phases:    []ledger.PhaseAt{{When: k.now, Phase: "heating", Pass: 1}, {When: k.now.Add(40 * time.Minute), Phase: "holding", Pass: 1}},
		AlarmKind: []ledger.AlarmOf{{Alarm: "top-up-due", Times: 2}},
		Called:    []ledger.AlarmCall{{Alarm: "top-up-due", Priority: "medium", Raised: k.now.Add(time.Hour), By: "Robin"}, {Alarm: "top-up-due", Priority: "medium", Raised: k.now.Add(2 * time.Hour)}},
		Deeds:     []ledger.Deed{{Entry: 1, When: k.now, Text: "fill 1.45 kg", Who: "Robin"}, {Entry: 2, When: k.now, Text: "turn-down", Who: "Robin", Voided: true, Why: "a slip"}},
	}
	return k
}

func startGoods(t *testing.T, v View, k *keeper) string {
	t.Helper()
	server := httptest.NewServer(newHandler(t, v, k))
	t.Cleanup(func() {
		server.CloseClientConnections()
		server.Close()
	})
	return server.URL
}
