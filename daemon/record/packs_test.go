package record

import (
	"slices"
	"strings"
	"testing"
	"time"
)

// Lines are loose until there are enough for a pack, and say the same in it.
func TestLinesArePackedWhenThereAreEnough(t *testing.T) {
	r := openIn(t, t.TempDir())
	var entries []Entry
	for minute := range 2*packLines + 10 {
		entries = append(entries, readingOf("north", 60*minute), readingOf("south", 60*minute+1))
	}
	appendTo(t, r, entries...)
	got := shell(t, r.dir, "SELECT count(*), (SELECT count(*) FROM loose), (SELECT count(*) FROM pack) FROM block; SELECT count(*), count(DISTINCT seq) FROM unsealed")
	if want := "138|18|4\n140|140\n"; got != want {
		t.Errorf("blocks, loose ones, packs; readings: got %s want %s", got, want)
	}
	if err := sound(r.Reader, all(t, r.Reader)); err != nil {
		t.Error(err)
	}
	lines := strings.Split(shell(t, r.dir, "SELECT line FROM sealed ORDER BY leaf"), "\n")
	for leaf, err := range r.Leaves(t.Context(), 0, -1) {
		if err != nil || !slices.Contains(lines, string(leaf.Line)) {
			t.Fatalf("the view has no line %s, %v", leaf.Line, err)
		}
	}
	dir := r.dir
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	r = openIn(t, dir)
	appendTo(t, r, must(Of(3*time.Hour, nine, "", Stop{})))
	if err := sound(r.Reader, all(t, r.Reader)); err != nil {
		t.Errorf("opened again: %v", err)
	}
}

// A loose line that somebody spoilt is left as it is: what comes after it is
// recorded and packed as before.
func TestASpoiltLooseLineHoldsNothingUp(t *testing.T) {
	r := openIn(t, t.TempDir())
	for minute := range 4 * packLines {
		appendTo(t, r, readingOf("north", 60*minute))
		if minute == 5 {
			if _, err := r.conn.ExecContext(t.Context(), "UPDATE loose SET data = x'00' WHERE leaf = 2"); err != nil {
				t.Fatal(err)
			}
		}
	}
	var loose, packs int
	if err := r.conn.QueryRowContext(t.Context(), "SELECT (SELECT count(*) FROM loose), (SELECT count(*) FROM pack)").Scan(&loose, &packs); err != nil {
		t.Fatal(err)
	}
	// The last of 120 minutes is open, thirty are held up by the spoilt line.
	if loose+30*packs != 4*packLines-1 || packs != 2 {
		t.Errorf("%d loose lines, %d packs", loose, packs)
	}
	readable := 0
	for leaf := range int64(4*packLines - 1) {
		for _, err := range r.Leaves(t.Context(), leaf, leaf) {
			if err == nil {
				readable++
			}
		}
	}
	if readable != 4*packLines-2 {
		t.Errorf("%d leaves can be read, want all but one", readable)
	}
}

// The file keeps every fourth level of the tree; the rest follows from it.
func TestHashesThatAreNotKeptFollowFromThoseThatAre(t *testing.T) {
	r := openIn(t, t.TempDir())
	for second := range 40 {
		at := time.Duration(second) * time.Second
		appendTo(t, r, must(Of(at, nine.Add(at), "north", PhaseOf(0, 0))))
	}
	var kept int
	if err := r.conn.QueryRowContext(t.Context(), "SELECT count(*) FROM hash").Scan(&kept); err != nil || kept != 42 {
		t.Errorf("%d hashes are kept of 40 leaves, %v; want 42", kept, err)
	}
	if got := lastKept(40); got != 74 { // of leaf 39; the three nodes that it completes are not kept
		t.Errorf("the last is number %d", got)
	}
	if err := sound(r.Reader, all(t, r.Reader)); err != nil {
		t.Error(err)
	}
}
