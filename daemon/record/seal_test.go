package record

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"bainward/rules"
)

// readingOf is a reading of a bath at a second.
func readingOf(bath string, second int) Entry {
	return OfFrame(bath, frameAt(time.Duration(second)*time.Second))
}

// leavesOf tells a record's leaves in short: a bath and how many readings, or a
// kind; then how many readings of each bath are open.
func leavesOf(t *testing.T, r *Record) string {
	t.Helper()
	var told []string
	for leaf, err := range r.Leaves(t.Context(), 0, -1) {
		if err != nil {
			t.Fatal(err)
		}
		if _, block, err := readBlockLine(leaf.Line, nil); err == nil {
			told = append(told, fmt.Sprintf("%s %d", block[0].Bath, len(block)))
			continue
		}
		told = append(told, string(must(entriesOf(leaf))[0].Kind))
	}
	rows := must(r.conn.QueryContext(t.Context(), "SELECT b.name, count(*) FROM reading r JOIN bath b ON b.id = r.bath GROUP BY b.id ORDER BY b.id"))
	defer rows.Close()
	for rows.Next() {
		var name string
		var n int
		if err := rows.Scan(&name, &n); err != nil {
			t.Fatal(err)
		}
		told = append(told, fmt.Sprintf("(%s %d)", name, n))
	}
	return strings.Join(told, ", ")
}

func TestReadingsAreSealedAfterAMinuteTheClosingTheCheckpointAndTheStop(t *testing.T) {
	r := openIn(t, t.TempDir())
	put := func(second int, want string, baths ...string) {
		t.Helper()
		for _, b := range baths {
			appendTo(t, r, readingOf(b, second))
		}
		if got := leavesOf(t, r); got != want {
			t.Errorf("after second %d: got %s; want %s", second, got, want)
		}
	}
	of := func(second int, bath string, b Body) {
		at := time.Duration(second) * time.Second
		appendTo(t, r, must(Of(at, nine.Add(at), bath, b)))
	}
	put(0, "(north 1), (south 1)", "north", "south")
	put(30, "(north 2), (south 2)", "north", "south")
	put(59, "(north 3), (south 2)", "north")
	put(60, "north 3, (north 1), (south 2)", "north")
	put(91, "north 3, south 2, (north 1), (south 1)", "south")
	of(93, "north", PhaseOf(rules.Idle, 0))
	of(93, "north", Batch{State: Opened, Number: "1"})
	put(94, "north 3, south 2, phase, batch, (north 2), (south 1)", "north")
	of(95, "north", Batch{State: Closed, Number: "1"})
	put(96, "north 3, south 2, phase, batch, north 2, batch, (south 2)", "south")
	of(97, "", Key{})
	put(98, "north 3, south 2, phase, batch, north 2, batch, key, (north 1), (south 3)", "south", "north")
	of(99, "", Checkpoint{Why: WhyAsked})
	put(100, "north 3, south 2, phase, batch, north 2, batch, key, north 1, south 3, checkpoint, (north 1)", "north")
	of(101, "", Stop{})
	put(101, "north 3, south 2, phase, batch, north 2, batch, key, north 1, south 3, checkpoint, north 1, stop")
	if err := sound(r.Reader, all(t, r.Reader)); err != nil {
		t.Error(err)
	}
}

// What was open when the daemon was killed stays so until the next cause.
func TestOpenReadingsAreSealedAfterARestart(t *testing.T) {
	dir := t.TempDir()
	r := openIn(t, dir)
	appendTo(t, r, readingOf("north", 0), readingOf("south", 10), readingOf("north", 20))
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	r = openIn(t, dir)
	if got, want := leavesOf(t, r), "(north 2), (south 1)"; got != want {
		t.Errorf("opened again: got %s; want %s", got, want)
	}
	appendTo(t, r, readingOf("north", 60), readingOf("south", 69), readingOf("south", 70))
	if got, want := leavesOf(t, r), "north 2, south 2, (north 1), (south 1)"; got != want {
		t.Errorf("a minute after the first: got %s; want %s", got, want)
	}
}

// Two hours in one Append, as a test or a conversion may bring them, are sealed
// as if they had come one by one.
func TestOneLargeAppendIsSealedLikeManySmallOnes(t *testing.T) {
	large, small := openIn(t, t.TempDir()), openIn(t, t.TempDir())
	var entries []Entry
	for second := range 7200 {
		entries = append(entries, readingOf("north", second), readingOf("south", second))
	}
	appendTo(t, large, entries...)
	for i := 0; i < len(entries); i += 60 {
		appendTo(t, small, entries[i:i+60]...)
	}
	one, other := leavesOf(t, large), leavesOf(t, small)
	if one != other || strings.Count(one, "north 60, south 60") != 119 {
		t.Errorf("got\n%s\nand\n%s", one, other)
	}
	if large.tail.edge != small.tail.edge {
		t.Error("the trees differ")
	}
}

// A commit that fails leaves table, tree and what is kept in memory as they
// were, wherever in the sealing it fails.
func TestAFailedSealingLeavesTheRecordAsItWas(t *testing.T) {
	for _, at := range []string{
		"INSERT ON block", "INSERT ON loose", "DELETE ON reading", "INSERT ON hash WHEN NEW.id = 1", "INSERT ON hash WHEN NEW.id = 3", "INSERT ON entry", "INSERT ON reading",
	} {
		r := openIn(t, t.TempDir())
		appendTo(t, r, must(Of(0, nine, "", Key{})))
		appendTo(t, r, readingOf("north", 0), readingOf("north", 1), readingOf("south", 2))
		tree := r.tail.edge
		trigger := "CREATE TEMP TRIGGER refuse BEFORE " + at + " BEGIN SELECT RAISE(FAIL, 'no'); END"
		if _, err := r.conn.ExecContext(t.Context(), trigger); err != nil {
			t.Fatal(err)
		}
		poll := []Entry{readingOf("north", 370), must(Of(370*time.Second, nine, "", Checkpoint{Why: WhyHour}))}
		if _, err := r.Append(t.Context(), poll); err == nil {
			t.Fatalf("%s: the trigger did not refuse", at)
		}
		if r.tail.edge != tree || len(r.tail.open) != 2 {
			t.Errorf("%s: the tree has %d leaves and %d baths are open, want it as before", at, r.tail.edge.size, len(r.tail.open))
		}
		if got, want := leavesOf(t, r), "key, (north 2), (south 1)"; got != want {
			t.Errorf("%s: got %s; want %s", at, got, want)
		}
		if _, err := r.conn.ExecContext(t.Context(), "DROP TRIGGER refuse"); err != nil {
			t.Fatal(err)
		}
		appendTo(t, r, poll...)
		if got, want := leavesOf(t, r), "key, north 2, north 1, south 1, checkpoint"; got != want {
			t.Errorf("%s: afterwards: got %s; want %s", at, got, want)
		}
		if err := sound(r.Reader, all(t, r.Reader)); err != nil {
			t.Errorf("%s: %v", at, err)
		}
	}
}
