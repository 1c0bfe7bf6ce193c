package handover_test

import (
	"context"
	"math"
	"testing"
	"time"

	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/batch/ledger"
	"bainward/sensors"
)

const (
	batchNumber = "2026-03-01-north-1"
	lotOfHerb   = "bed 4, cut 2026-03-01"
)

var nine = time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)

// yard writes the record of an invented day: two baths that are read every second
// for half an hour, a batch on one of them, a step of the clock, an event that is
// taken back, and goods of the day after.
type yard struct {
	t  *testing.T
	r  *record.Record
	at time.Duration
	// ahead is by how much the wall clock was set.
	ahead time.Duration
}

func newYard(t *testing.T) *yard {
	t.Helper()
	r, err := record.Open(context.Background(), record.Options{Dir: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := r.Close(); err != nil {
			t.Error(err)
		}
	})
	y := &yard{t: t, r: r}
	y.put("", record.Restart{Version: "v1", Boot: "boot"}, record.Key{}, record.Checkpoint{Why: record.WhyStart})
	for _, bath := range []string{"north", "south"} {
		y.put(bath, record.Config{Config: rules.Config{Bath: bath}})
	}
	y.run(5 * time.Minute)
	return y
}

func (y *yard) wall() time.Time { return nine.Add(y.at + y.ahead) }

// put appends entries and returns the last of them.
func (y *yard) put(bath string, bodies ...record.Body) record.Entry {
	y.t.Helper()
	var entries []record.Entry
	for _, b := range bodies {
		e, err := record.Of(y.at, y.wall(), bath, b)
		if err != nil {
			y.t.Fatal(err)
		}
		entries = append(entries, e)
	}
	return y.append(entries)
}

func (y *yard) append(entries []record.Entry) record.Entry {
	y.t.Helper()
	done, err := y.r.Append(context.Background(), entries)
	if err != nil {
		y.t.Fatal(err)
	}
	return done[len(done)-1]
}

// run lets the probes be read every second for a while.
func (y *yard) run(d time.Duration) {
	y.t.Helper()
	var polls []record.Entry // many in one commit: it is quicker
	for end := y.at + d; y.at < end; y.at += time.Second {
		for i, bath := range []string{"north", "south"} {
			f := sensors.Frame{At: y.at, Wall: y.wall(), Pressure: sensors.Pressure{Pascal: 100930 + int32(y.at/time.Second%3)}}
			f.Probes[sensors.Oil] = sensors.AtCelsius(60 + 20*math.Sin(y.at.Minutes()/9) + float64(i))
			f.Probes[sensors.Bath] = sensors.AtCelsius(98.5)
			f.Probes[sensors.Room] = sensors.Failed(sensors.NotFitted)
			if y.at/time.Second%97 == 0 {
				f.Probes[sensors.Oil] = sensors.Failed(sensors.Absent)
			}
			polls = append(polls, record.OfFrame(bath, record.Rounded(f)))
		}
	}
	y.append(polls)
}

// batch makes one on the north bath.
func (y *yard) batch() {
	y.t.Helper()
	y.put("north", record.Batch{State: record.Opened, Number: batchNumber, Recipe: "ribwort-fresh"},
		record.Event{Text: "fill 1.45 kg", By: "Robin", Batch: batchNumber})
	y.put("north", goods(y.t, ledger.Material{Batch: batchNumber, What: ledger.Herb, Name: "Plantago lanceolata, leaf", Lot: lotOfHerb, Quantity: amountOf(y.t, "220 g"), State: ledger.Fresh}))
	y.run(10 * time.Minute)
	slip := y.put("north", record.Event{Text: "top-up 5 kg", By: "Robin", Batch: batchNumber})
	y.put("north", record.Correction{Voids: slip.Seq, Reason: "it was half a kilogram", By: "Robin"})
	y.run(3 * time.Minute)
	y.ahead = -17 * time.Minute
	y.put("", record.Clock{Step: y.ahead})
	y.run(5 * time.Minute)
	y.put("south", record.Event{Text: "note of the other bath", By: "Sorrel"})
	y.put("north", record.Batch{State: record.Closed, Number: batchNumber, Verdict: "held"})
	y.put("", record.Checkpoint{Why: record.WhyBatchEnd})
}

// dayAfter fills bottles, and makes a checkpoint if asked to.
func (y *yard) dayAfter(checkpoint bool) {
	y.t.Helper()
	y.run(4 * time.Minute)
	y.put("north", goods(y.t, ledger.Bottles{Batch: batchNumber, Numbers: []int{1, 2}, Each: amountOf(y.t, "100 ml"), AtC: 20, Place: ledger.Cool}))
	if checkpoint {
		y.put("", record.Checkpoint{Why: record.WhyAsked})
	}
}

func goods(t *testing.T, f ledger.Fact) record.Body {
	t.Helper()
	b, err := record.GoodsOf(f, "Robin")
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func amountOf(t *testing.T, s string) ledger.Amount {
	t.Helper()
	a, err := ledger.ParseAmount(s)
	if err != nil {
		t.Fatal(err)
	}
	return a
}
