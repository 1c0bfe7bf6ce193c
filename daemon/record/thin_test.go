package record

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"golang.org/x/mod/sumdb/tlog"
)

// season is a record of two baths over six hours: north has a batch in the third
// and fourth, south has none; a checkpoint stands at the end of the fifth.
func season(t *testing.T) *Record {
	t.Helper()
	r := openIn(t, t.TempDir())
	entries := []Entry{must(Of(0, nine, "", Key{}))}
	of := func(hour int, bath string, b Body) {
		at := time.Duration(hour) * time.Hour
		entries = append(entries, must(Of(at, nine.Add(at), bath, b)))
	}
	for second := range 6 * 3600 {
		switch second {
		case 2 * 3600:
			of(2, "north", Batch{State: Opened, Number: "1"})
		case 4 * 3600:
			of(4, "north", Batch{State: Closed, Number: "1"})
		case 5 * 3600:
			of(5, "", Checkpoint{Why: WhyHour})
		}
		entries = append(entries, readingOf("north", second), readingOf("south", second))
	}
	appendTo(t, r, entries...)
	return r
}

// thin thins out all that is older than six hours after nine.
func thin(t *testing.T, r *Record) (said []Thinned) {
	t.Helper()
	now := nine.Add(24 * time.Hour)
	for {
		e, ok, err := r.Thin(t.Context(), 24*time.Hour, now, Thinning{Before: now.Add(-18 * time.Hour), Every: time.Minute})
		if err != nil {
			t.Fatal(err)
		}
		if !ok {
			return said
		}
		var b Thinned
		if err := e.Decode(&b); err != nil {
			t.Fatal(err)
		}
		said = append(said, b)
	}
}

func TestThinningSparesBatchesAndWhatNoCheckpointCovers(t *testing.T) {
	r := season(t)
	before := all(t, r.Reader)
	batch := must(r.Batches(t.Context()))[0]
	said := thin(t, r)
	thinned := map[string]int64{}
	kept := map[string]int{}
	for _, b := range said {
		readings := must(b.Readings())
		thinned[readings[0].Bath] += b.Count
		kept[readings[0].Bath] += len(readings)
		for _, e := range readings {
			if !reflect.DeepEqual(e, before[e.Seq-1]) {
				t.Errorf("the reading that stands in is %+v, it was %+v", e, before[e.Seq-1])
			}
		}
	}
	// Of north: two hours before the batch, and one after it.
	if want := map[string]int64{"north": 3 * 3600, "south": 5 * 3600}; !reflect.DeepEqual(thinned, want) {
		t.Errorf("thinned %v, want %v", thinned, want)
	}
	if kept["north"] != 180 || kept["south"] != 300 {
		t.Errorf("kept %v, want one a minute", kept)
	}
	last, lastAt := int64(0), time.Duration(0)
	got := map[string]int{}
	for e, err := range r.Entries(t.Context(), 1, 0) {
		if err != nil {
			t.Fatal(err)
		}
		if e.Seq <= last || e.At < lastAt {
			t.Errorf("entry %d follows %d", e.Seq, last)
		}
		if int(e.Seq) <= len(before) && !reflect.DeepEqual(e, before[e.Seq-1]) {
			t.Fatalf("entry %d became %+v", e.Seq, e)
		}
		last, lastAt = e.Seq, e.At
		if e.Kind == KindReading {
			got[e.Bath]++
		}
	}
	if got["north"] != 3*3600 || got["south"] != 3600 {
		t.Errorf("%v readings are left, want those of the batch and those after the checkpoint", got)
	}
	n := 0
	for _, err := range r.OfBatch(t.Context(), batch) {
		if err != nil {
			t.Fatal(err)
		}
		n++
	}
	if n < 2*3600+2 {
		t.Errorf("%d entries of the batch are left", n)
	}
}

// Every leaf keeps its hash, so that root, proofs and checkpoints hold as before.
func TestTheTreeIsWholeAfterThinning(t *testing.T) {
	r := season(t)
	ctx := t.Context()
	size := must(r.TreeSize(ctx))
	root := must(r.Root(ctx, size))
	hashes := func() (all []tlog.Hash) {
		for leaf, err := range r.Leaves(ctx, 0, size-1) {
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, leaf.Hash())
		}
		return all
	}
	before := hashes()
	said := thin(t, r)
	if !reflect.DeepEqual(hashes(), before) || must(r.Root(ctx, size)) != root {
		t.Error("the tree has changed")
	}
	gone := map[int64]bool{}
	for _, b := range said {
		for _, leaf := range b.Leaves {
			gone[leaf] = true
		}
	}
	for leaf, err := range r.Leaves(ctx, 0, -1) {
		if err != nil || (leaf.Line == nil) != gone[leaf.Number] {
			t.Errorf("leaf %d has a line: %v, %v; it was thinned: %v", leaf.Number, leaf.Line != nil, err, gone[leaf.Number])
		}
		proof := must(r.Inclusion(ctx, leaf.Number, must(r.TreeSize(ctx))))
		if err := tlog.CheckRecord(proof, must(r.TreeSize(ctx)), must(r.Root(ctx, must(r.TreeSize(ctx)))), leaf.Number, leaf.Hash()); err != nil {
			t.Errorf("leaf %d: %v", leaf.Number, err)
		}
	}
	must(r.Checkpoint(ctx, 25*time.Hour, nine.Add(25*time.Hour), WhyAsked))
	dir := r.dir
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	r = openIn(t, dir)
	appendTo(t, r, readingOf("north", 26*3600))
	checkIntegrity(t, dir)
}

func TestReadersGoOverWhatWasThinnedOut(t *testing.T) {
	r := season(t)
	thin(t, r)
	ctx := t.Context()
	points, err := r.Trace(ctx, "south", Window{Points: 100})
	if err != nil || len(points) == 0 || points[0].At < 4*time.Hour+50*time.Minute {
		t.Errorf("trace: %d points, %v", len(points), err)
	}
	if e, ok, err := r.LastOf(ctx, "south", KindReading); err != nil || !ok || e.At != 6*time.Hour-time.Second {
		t.Errorf("last reading: %+v, %v, %v", e, ok, err)
	}
	if _, _, err := r.LeafOf(ctx, 3); err == nil || !strings.Contains(err.Error(), "thinned out") {
		t.Errorf("leaf of a reading that is gone: %v", err)
	}
	for from := int64(1); from < 43000; from += 1999 {
		n := 0
		for _, err := range r.Entries(ctx, from, from+5000) {
			if err != nil {
				t.Fatalf("from %d: %v", from, err)
			}
			n++
		}
		if n == 0 && from > 36000 {
			t.Errorf("nothing from %d on", from)
		}
	}
}

func TestThinningIsAskedForInReason(t *testing.T) {
	r := season(t)
	now := nine.Add(24 * time.Hour)
	for _, bad := range []Thinning{{Before: now.Add(time.Hour), Every: time.Minute}, {Before: nine}} {
		if _, _, err := r.Thin(t.Context(), 24*time.Hour, now, bad); err == nil {
			t.Errorf("%+v is taken", bad)
		}
	}
	if _, ok, err := r.Thin(t.Context(), 24*time.Hour, now, Thinning{Before: nine, Every: time.Minute}); ok || err != nil {
		t.Errorf("nothing is as old as that: %v, %v", ok, err)
	}
	said := thin(t, r)
	if _, err := r.Append(t.Context(), []Entry{must(Of(25*time.Hour, nine, "north", said[0]))}); err == nil || !strings.Contains(err.Error(), "Thin") {
		t.Errorf("a thinning from outside: %v", err)
	}
}

// A thinning that fails takes nothing away.
func TestAFailedThinningTakesNothingAway(t *testing.T) {
	r := season(t)
	before := all(t, r.Reader)
	if _, err := r.conn.ExecContext(t.Context(), "CREATE TEMP TRIGGER refuse BEFORE INSERT ON hash BEGIN SELECT RAISE(FAIL, 'no'); END"); err != nil {
		t.Fatal(err)
	}
	now := nine.Add(24 * time.Hour)
	if _, _, err := r.Thin(t.Context(), 24*time.Hour, now, Thinning{Before: now.Add(-time.Hour), Every: time.Minute}); err == nil {
		t.Fatal("the trigger did not refuse")
	}
	if _, err := r.conn.ExecContext(t.Context(), "DROP TRIGGER refuse"); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(all(t, r.Reader), before) {
		t.Error("the record has changed")
	}
	if err := sound(r.Reader, before); err != nil {
		t.Error(err)
	}
}
