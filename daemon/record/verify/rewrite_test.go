package verify

import (
	"bytes"
	"cmp"
	"compress/zlib"
	"database/sql"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"bainward/daemon/record"
	"bainward/sensors"
)

// kept is a record with what its makers keep apart from it.
type kept struct {
	path     string
	privates []string // signing keys, the first first
	notes    []string // its checkpoints
}

// key is the verifier key that an auditor was given at the start.
func (k kept) key() string { return publicOf(k.privates[0]) }

// entriesIn reads every entry of a record, in order.
func entriesIn(t testing.TB, path string) []record.Entry {
	t.Helper()
	o := must(open(t.Context(), path))
	defer o.close()
	r := must(openRows(t.Context(), o.db, must(readBaths(t.Context(), o.db))))
	defer r.close()
	var all []record.Entry
	var next row
	var in inflater
	for r.next(&next) {
		if e := next.entry; !next.isBlock {
			all = append(all, record.Entry{Seq: e.seq, At: millis(e.atMS), Wall: time.UnixMilli(e.wallMS).UTC(), Bath: e.bath, Kind: record.Kind(e.kind), Body: e.body})
			continue
		}
		var b block
		if err := b.read(must(next.block.line(&in)), faultWords()); err != nil {
			t.Fatal(err)
		}
		for i := range b.seq {
			f := sensors.Frame{At: millis(b.at[i]), Wall: time.UnixMilli(b.at[i] + b.ahead[i]).UTC()}
			b.frame(i, &f)
			e := record.OfFrame(string(b.bath), f)
			e.Seq = b.seq[i]
			all = append(all, e)
		}
	}
	slices.SortFunc(all, func(a, b record.Entry) int { return cmp.Compare(a.Seq, b.Seq) })
	return all
}

// rewritten is the record written anew from its first entry, with what change
// made of them. With keys, everything is sealed and signed by them; without, the
// signatures are those that were there.
func (k kept) rewritten(t testing.TB, keys []string, change func([]record.Entry) []record.Entry) kept {
	t.Helper()
	s := newScribe(t, t.TempDir())
	s.privates, s.asIs = slices.Clone(keys), keys == nil
	_, s.begins = blocksIn(t, k.path)
	s.Append(change(entriesIn(t, k.path)))
	return kept{path: s.close(), privates: s.privates, notes: s.notes}
}

// copied is a copy of the record, to be changed by SQL.
func (k kept) copied(t testing.TB, statements ...string) kept {
	t.Helper()
	path := filepath.Join(t.TempDir(), fileName)
	if err := os.WriteFile(path, must(os.ReadFile(k.path)), 0o600); err != nil {
		t.Fatal(err)
	}
	db := must(sql.Open("sqlite", path))
	defer db.Close()
	for _, s := range statements {
		result, err := db.Exec(s)
		if err != nil {
			t.Fatalf("%s: %v", s, err)
		}
		if n, err := result.RowsAffected(); err == nil && n == 0 && (strings.HasPrefix(s, "UPDATE") || strings.HasPrefix(s, "DELETE")) {
			t.Fatalf("%s: it changed nothing", s)
		}
	}
	k.path = path
	return k
}

// repacked is a copy of the record whose first pack holds what change made of it.
func (k kept) repacked(t testing.TB, change func(text []byte) []byte) kept {
	t.Helper()
	k = k.copied(t)
	db := must(sql.Open("sqlite", k.path))
	defer db.Close()
	var id, size int64
	var data []byte
	if err := db.QueryRow("SELECT id, size, data FROM pack ORDER BY id LIMIT 1").Scan(&id, &size, &data); err != nil {
		t.Fatal(err)
	}
	var in inflater
	was := must(in.inflate(data, size, maxPack))
	text := change(bytes.Clone(was))
	if bytes.Equal(text, was) {
		t.Fatalf("nothing was changed in\n%s", was)
	}
	var packed bytes.Buffer
	w := zlib.NewWriter(&packed)
	must(w.Write(text))
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	must(db.Exec("UPDATE pack SET size = ?, data = ? WHERE id = ?", len(text), packed.Bytes(), id))
	return k
}

// find returns where the nth entry of a kind is.
func find(t testing.TB, all []record.Entry, kind record.Kind, n int) int {
	t.Helper()
	for i := range all {
		if all[i].Kind == kind {
			if n--; n < 0 {
				return i
			}
		}
	}
	t.Fatalf("no %s entry", kind)
	return 0
}
