package record

import (
	"strings"
	"testing"
	"time"

	"bainward/rules"
)

// day is a record of two baths: a batch that was closed, one that is open, a
// restart and a clock that was set in between.
func day(t *testing.T) *Record {
	t.Helper()
	r := openIn(t, t.TempDir())
	at := time.Duration(0)
	put := func(bath string, b Body) {
		at += time.Second
		appendTo(t, r, OfFrame("north", frameAt(at)), OfFrame("south", frameAt(at)), must(Of(at, nine.Add(at), bath, b)))
	}
	put("", Restart{Boot: "a"})                                                                // 3
	put("north", Config{Config: rules.Config{Bath: "north", Elevation: 1}})                    // 6
	put("north", Batch{State: Opened, Number: "1", Recipe: "ribwort-fresh"})                   // 9
	put("south", Config{Config: rules.Config{Bath: "south"}})                                  // 12
	put("north", Config{Config: rules.Config{Bath: "north", Elevation: 2}})                    // 15
	put("north", Batch{State: Closed, Number: "1", Recipe: "ribwort-fresh", Verdict: "short"}) // 18
	put("north", Batch{State: Opened, Number: "2", Recipe: "marigold-dried"})                  // 21
	put("south", PhaseOf(rules.Idle, 0))                                                       // 24
	put("", Clock{Step: time.Hour})                                                            // 27
	put("", Restart{Boot: "b"})                                                                // 30
	put("north", Config{Config: rules.Config{Bath: "north", Elevation: 3}})                    // 33
	put("north", PhaseOf(rules.Heating, 1))                                                    // 36
	return r
}

func TestSinceBatchGivesWhatMustBeFoldedAgain(t *testing.T) {
	r := day(t)
	var got []int64
	for e, err := range r.SinceBatch(t.Context(), "north") {
		if err != nil {
			t.Fatal(err)
		}
		if e.Bath != "north" && e.Bath != "" {
			t.Errorf("entry %d is of bath %q", e.Seq, e.Bath)
		}
		got = append(got, e.Seq)
	}
	// The config before the opening, then all of north and of the site.
	want := []int64{15, 21, 22, 25, 27, 28, 30, 31, 33, 34, 36}
	if !equal(got, want) {
		t.Errorf("north: got %v, want %v", got, want)
	}
	for bath, want := range map[string][]int64{"south": {12}, "east": nil} {
		var got []int64
		for e, err := range r.SinceBatch(t.Context(), bath) {
			if err != nil {
				t.Fatal(err)
			}
			got = append(got, e.Seq)
		}
		if !equal(got, want) {
			t.Errorf("%s, where no batch is open: got %v, want %v", bath, got, want)
		}
	}
}

func equal(a, b []int64) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

func TestTheLastOfEachKindIsFound(t *testing.T) {
	r := day(t)
	for _, c := range []struct {
		bath string
		kind Kind
		want int64 // 0: none
	}{
		{"north", KindReading, 34}, {"south", KindReading, 35}, {"north", KindConfig, 33}, {"south", KindConfig, 12},
		{"", KindRestart, 30}, {"", KindStop, 0}, {"north", KindRestart, 0}, {"east", KindReading, 0}, {"south", KindBatch, 0},
	} {
		if e, ok, err := r.LastOf(t.Context(), c.bath, c.kind); err != nil || ok != (c.want != 0) || e.Seq != c.want {
			t.Errorf("last %s of %q: %d %v %v, want %d", c.kind, c.bath, e.Seq, ok, err, c.want)
		}
	}
	if e, ok, err := r.OpenBatch(t.Context(), "north"); err != nil || !ok || e.Seq != 21 {
		t.Errorf("open batch of north: %d %v %v, want 21", e.Seq, ok, err)
	}
	if end, err := r.Last(t.Context()); err != nil || end.Seq != 36 || end.Boot != "b" {
		t.Errorf("the record ends at %+v, %v", end, err)
	}
}

func TestBatchesAreListedWithTheirOpeningAndClosing(t *testing.T) {
	got, err := day(t).Batches(t.Context())
	if err != nil || len(got) != 2 {
		t.Fatalf("%v, %v", got, err)
	}
	one, two := got[0], got[1]
	if one.Open() || one.Opened.Seq != 9 || one.Closed.Seq != 18 || one.Batch.Verdict != "short" || one.Opened.Bath != "north" {
		t.Errorf("the first: %+v", one)
	}
	if !two.Open() || two.Opened.Seq != 21 || two.Batch.Recipe != "marigold-dried" {
		t.Errorf("the second: %+v", two)
	}
}

func TestAnEmptyRecordHasNothing(t *testing.T) {
	r := openIn(t, t.TempDir())
	if end, err := r.Last(t.Context()); err != nil || end != (End{}) {
		t.Errorf("it ends at %+v, %v", end, err)
	}
	if n := len(all(t, r.Reader)); n != 0 {
		t.Errorf("%d entries", n)
	}
	if points, err := r.Trace(t.Context(), "north", Window{Points: 5}); err != nil || len(points) != 0 {
		t.Errorf("trace: %v, %v", points, err)
	}
}

func TestEntriesKeepToTheNumbersAskedFor(t *testing.T) {
	r := openIn(t, t.TempDir())
	var poll []Entry
	for range 3 * pageRows {
		poll = append(poll, OfFrame("north", frameAt(0)))
	}
	appendTo(t, r, poll...)
	for _, c := range []struct{ from, to, first, last int64 }{
		{0, 0, 1, 3 * pageRows}, {1, 1, 1, 1}, {pageRows, pageRows + 1, pageRows, pageRows + 1},
		{pageRows + 1, 2 * pageRows, pageRows + 1, 2 * pageRows}, {3 * pageRows, 9 * pageRows, 3 * pageRows, 3 * pageRows},
	} {
		next := c.first
		for e, err := range r.Entries(t.Context(), c.from, c.to) {
			if err != nil || e.Seq != next {
				t.Fatalf("%d to %d: entry %d, %v; want %d", c.from, c.to, e.Seq, err, next)
			}
			next++
		}
		if next != c.last+1 {
			t.Errorf("%d to %d ended at %d, want %d", c.from, c.to, next-1, c.last)
		}
	}
	for range r.Entries(t.Context(), 3*pageRows+1, 0) {
		t.Error("an entry beyond the end")
	}
}

func TestAMissingEntryIsSaid(t *testing.T) {
	r := openIn(t, t.TempDir())
	appendTo(t, r, pollOf(0)...)
	appendTo(t, r, pollOf(time.Second)...)
	if _, err := r.conn.ExecContext(t.Context(), "DELETE FROM reading WHERE seq = 4"); err != nil {
		t.Fatal(err)
	}
	read := 0
	for e, err := range r.Entries(t.Context(), 1, 0) {
		if err != nil {
			if !strings.Contains(err.Error(), "entry 3 is followed by entry 5") {
				t.Errorf("got %v", err)
			}
			break
		}
		read++
		if e.Seq > 3 {
			t.Errorf("entry %d was given after the hole", e.Seq)
		}
	}
	if read != 3 {
		t.Errorf("%d entries before the hole, want 3", read)
	}
}
