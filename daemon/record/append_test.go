package record

import (
	"context"
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/sensors"
)

func TestAPollWithOneBadEntryIsNotWrittenAtAll(t *testing.T) {
	good := OfFrame("north", frameAt(2*time.Second))
	with := func(change func(*Entry)) Entry {
		e := good
		change(&e)
		return e
	}
	phase := must(Of(2*time.Second, nine, "north", PhaseOf(rules.Idle, 1)))
	for _, c := range []struct {
		bad  Entry
		want string
	}{
		{OfFrame("north", frameAt(time.Second)), "must not go back"},
		{with(func(e *Entry) { e.Frame.Probes[0].Temperature++ }), "pass it through Rounded"},
		{with(func(e *Entry) { e.Frame.Wall = e.Frame.Wall.Local() }), "pass it through Rounded"},
		{with(func(e *Entry) { e.Frame.Probes[0] = sensors.Failed(99) }), "oil probe: fault 99 has no word"},
		{with(func(e *Entry) { e.Frame.At += Tick }), "instants of entry and frame differ"},
		{with(func(e *Entry) { e.At++ }), "whole ticks"},
		{with(func(e *Entry) { e.Wall = e.Wall.AddDate(9000, 0, 0) }), "year 11026"},
		{with(func(e *Entry) { e.Bath = "" }), "needs its bath"},
		{with(func(e *Entry) { e.Bath = "nor\x00th" }), "is not text"},
		{with(func(e *Entry) { e.Body = json.RawMessage(`{}`) }), "no body"},
		{with(func(e *Entry) { e.Kind = "weather" }), `unknown kind "weather"`},
		{with(func(e *Entry) { e.Kind = KindPhase }), "only a reading has a frame"},
		{Entry{At: phase.At, Wall: phase.Wall, Kind: KindPhase, Body: json.RawMessage(`{"phase":`)}, "not JSON"},
		{Entry{At: phase.At, Wall: phase.Wall, Kind: KindPhase, Body: json.RawMessage(`{"phase":"lost"}`)}, "unknown phase"},
		{must(Of(phase.At, nine, "north", Correction{Voids: 5, Reason: "typed twice"})), "voids entry 5, which is not before it"},
	} {
		r := openIn(t, t.TempDir())
		appendTo(t, r, pollOf(time.Second)...)
		_, err := r.Append(t.Context(), []Entry{phase, c.bad})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("got %v, want %q", err, c.want)
		}
		if n := len(all(t, r.Reader)); n != 3 {
			t.Errorf("after %q the record has %d entries, want the 3 before", c.want, n)
		}
		if e := appendTo(t, r, phase, good); e[1].Seq != 5 {
			t.Errorf("after %q the next number is %d, want 5", c.want, e[1].Seq)
		}
	}
}

func TestAnEndedContextWritesNothing(t *testing.T) {
	r := openIn(t, t.TempDir())
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := r.Append(ctx, pollOf(0)); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want the context's error", err)
	}
	if n := len(all(t, r.Reader)); n != 0 {
		t.Errorf("%d entries were written", n)
	}
}

func TestAppendLeavesItsArgumentAlone(t *testing.T) {
	r := openIn(t, t.TempDir())
	given := pollOf(0)
	numbered := appendTo(t, r, given...)
	if given[0].Seq != 0 || numbered[0].Seq != 1 || numbered[2].Seq != 3 {
		t.Errorf("given %d, numbered %d to %d", given[0].Seq, numbered[0].Seq, numbered[2].Seq)
	}
	if none, err := r.Append(t.Context(), nil); err != nil || len(none) != 0 {
		t.Errorf("nothing to write: %v, %v", none, err)
	}
}

// What Append promises rests on these (sqlite.org/pragma.html: in WAL mode FULL
// syncs the log after each transaction).
func TestEveryCommitIsSynced(t *testing.T) {
	r := openIn(t, t.TempDir())
	for pragma, want := range map[string]string{"synchronous": "2", "journal_mode": "wal", "foreign_keys": "1", "user_version": "2"} {
		var got string
		if err := r.conn.QueryRowContext(t.Context(), "PRAGMA "+pragma).Scan(&got); err != nil || got != want {
			t.Errorf("%s is %q, %v; want %q", pragma, got, err, want)
		}
	}
}

// Readings stay small however long the record runs and whatever the wall clock
// does: three bytes for the offset, two for the clock.
func TestReadingsStayNearTheirStretch(t *testing.T) {
	r := openIn(t, t.TempDir())
	wall := nine
	for i := range 40 {
		at := time.Duration(i) * 45 * time.Minute
		if i%7 == 6 {
			wall = wall.Add(-100 * time.Hour)
		}
		f := frameAt(at)
		f.Wall = wall.Add(at)
		appendTo(t, r, OfFrame("north", Rounded(f)))
		var offset, ahead, stretches int
		err := r.conn.QueryRowContext(t.Context(), "SELECT max(at), max(abs(wall)), (SELECT count(*) FROM stretch) FROM reading").Scan(&offset, &ahead, &stretches)
		if err != nil || offset > 1<<23-1 || ahead > 1<<15-1 || stretches > i+1 {
			t.Errorf("reading %d: offset up to %d, clock up to %d, in %d stretches, %v", i, offset, ahead, stretches, err)
		}
	}
}
