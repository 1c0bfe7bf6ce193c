package verify

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bainward/daemon/record"
)

// ledger is the real record as a yard's book.
type ledger struct {
	t testing.TB
	*record.Record
	kept
}

func newLedger(t testing.TB) *ledger {
	t.Helper()
	dir := t.TempDir()
	r, err := record.Open(t.Context(), record.Options{Dir: dir, Site: "Alder Yard"})
	if err != nil {
		t.Fatal(err)
	}
	return &ledger{t: t, Record: r, kept: kept{path: filepath.Join(dir, fileName)}}
}

// Append puts entries into the record, and keeps apart what its maker keeps.
func (l *ledger) Append(entries []record.Entry) []record.Entry {
	l.t.Helper()
	done, err := l.Record.Append(context.Background(), slices.Clone(entries))
	if err != nil {
		l.t.Fatal(err)
	}
	for _, e := range done {
		switch e.Kind {
		case record.KindKey:
			private := must(os.ReadFile(filepath.Join(filepath.Dir(l.path), "signing-key")))
			l.privates = append(l.privates, strings.TrimSpace(string(private)))
		case record.KindCheckpoint:
			var c record.Checkpoint
			if err := json.Unmarshal(e.Body, &c); err != nil {
				l.t.Fatal(err)
			}
			l.notes = append(l.notes, c.Note)
		}
	}
	return done
}

func (l *ledger) close() kept {
	l.t.Helper()
	if err := l.Record.Close(); err != nil {
		l.t.Fatal(err)
	}
	return l.kept
}

// soundRecords are records of the same day that nobody changed: one that the
// daemon's own writer wrote, and one by the scribe of these tests, who knows the
// format from its description alone.
func soundRecords(t testing.TB) map[string]kept {
	l := newLedger(t)
	aDay(t, l)
	s := newScribe(t, t.TempDir())
	aDay(t, s)
	return map[string]kept{"by the daemon": l.close(), "by a scribe": {path: s.close(), privates: s.privates, notes: s.notes}}
}
