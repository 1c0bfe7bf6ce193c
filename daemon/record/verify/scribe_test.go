package verify

import (
	"bytes"
	"compress/zlib"
	"crypto/ed25519"
	"crypto/rand"
	"database/sql"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bainward/daemon/record"

	sumnote "golang.org/x/mod/sumdb/note"
	"golang.org/x/mod/sumdb/tlog"
)

// scribe writes records as format 2 says, from its description alone: it shares
// code neither with the record's writer nor with what is tested here. Its tree
// and its signatures are those of golang.org/x/mod/sumdb.
type scribe struct {
	t      testing.TB
	db     *sql.DB
	tx     *sql.Tx
	path   string
	seq    int64
	leaves int64
	baths  map[string]int64
	names  []string
	open   map[string][]record.Entry
	hashes []tlog.Hash
	signer sumnote.Signer
	vkey   string
	notes  []string // checkpoints, in order
	// privates are the keys that were made, or that are to be used again.
	privates []string
	made     int
	asIs     bool // keys and checkpoints are written as they come
	// begins are the numbers at which blocks begin; nil: after a minute.
	begins map[int64]bool
	packed bytes.Buffer
	pack   *zlib.Writer
	put    map[string]*sql.Stmt
	packs  map[string]*draftPack
	lines  int // that are packed together: the format does not say
}

const origin = "bainward/alder-yard/0badcafe"

func newScribe(t testing.TB, dir string) *scribe {
	t.Helper()
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	s := &scribe{t: t, path: filepath.Join(dir, fileName), baths: map[string]int64{}, open: map[string][]record.Entry{}, put: map[string]*sql.Stmt{}, packs: map[string]*draftPack{}, lines: 10}
	s.pack = zlib.NewWriter(&s.packed)
	uri := url.URL{Scheme: "file", Path: s.path, RawQuery: "_pragma=synchronous(0)"}
	s.db = must(sql.Open("sqlite", uri.String()))
	s.db.SetMaxOpenConns(1)
	s.exec(layoutSQL)
	s.exec(fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = %d", applicationID, formatNumber))
	s.tx = must(s.db.Begin())
	return s
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func (s *scribe) exec(query string) {
	s.t.Helper()
	if _, err := s.db.Exec(query); err != nil {
		s.t.Fatalf("%s: %v", query, err)
	}
}

// insert puts a row into a table, with a statement that is prepared once.
func (s *scribe) insert(table string, values ...any) {
	s.t.Helper()
	if s.put[table] == nil {
		s.put[table] = must(s.tx.Prepare("INSERT INTO " + table + " VALUES (?" + strings.Repeat(", ?", len(values)-1) + ")"))
	}
	if _, err := s.put[table].Exec(values...); err != nil {
		s.t.Fatalf("insert into %s: %v", table, err)
	}
}

// close ends writing and returns the file.
func (s *scribe) close() string {
	s.t.Helper()
	s.keepOpen()
	s.keepLoose()
	if err := s.tx.Commit(); err != nil {
		s.t.Fatal(err)
	}
	if err := s.db.Close(); err != nil {
		s.t.Fatal(err)
	}
	return s.path
}

// Append writes entries and returns them with their numbers.
func (s *scribe) Append(entries []record.Entry) []record.Entry {
	done := make([]record.Entry, len(entries))
	for i, e := range entries {
		s.seq++
		e.Seq = s.seq
		s.before(e)
		switch e.Kind {
		case record.KindReading:
			s.reading(e)
		default:
			e.Body = s.complete(e)
			s.entry(e)
		}
		done[i] = e
	}
	return done
}

// before seals what must be sealed before e.
func (s *scribe) before(e record.Entry) {
	open := s.open[e.Bath]
	full := len(open) > 0 && e.At-open[0].At >= time.Minute
	if s.begins != nil {
		full = s.begins[e.Seq]
	}
	switch {
	case e.Kind == record.KindReading && full,
		e.Kind == record.KindBatch && strings.Contains(string(e.Body), `"closed"`):
		s.seal(e.Bath)
	case e.Kind == record.KindStop, e.Kind == "checkpoint":
		for _, name := range s.names {
			s.seal(name)
		}
	}
}

func (s *scribe) bath(name string) any {
	if name == "" {
		return nil
	}
	id, ok := s.baths[name]
	if !ok {
		id = int64(len(s.baths))
		s.baths[name] = id
		s.names = append(s.names, name)
		s.insert("bath", id, name)
	}
	return id
}

func (s *scribe) reading(e record.Entry) {
	s.bath(e.Bath)
	s.open[e.Bath] = append(s.open[e.Bath], e)
}

func (s *scribe) entry(e record.Entry) {
	line := fmt.Sprintf(`{"leaf":%d,"seq":%d,"at_ms":%d,"wall_ms":%d,"bath":%s,"kind":%s,"body":%s}`,
		s.leaves, e.Seq, e.At.Milliseconds(), e.Wall.UnixMilli(), must(json.Marshal(e.Bath)), must(json.Marshal(e.Kind)), e.Body)
	s.insert("entry", e.Seq, s.leaves, e.At.Milliseconds(), e.Wall.UnixMilli(), s.bath(e.Bath), string(e.Kind), string(e.Body))
	s.leaf([]byte(line))
}

func (s *scribe) leaf(line []byte) {
	hashes := must(tlog.StoredHashes(s.leaves, line, s))
	for level, h := range hashes {
		if level%4 == 0 {
			s.insert("hash", len(s.hashes), h[:])
		}
		s.hashes = append(s.hashes, h)
	}
	s.leaves++
}

// ReadHashes lets the scribe be the storage of its own tree.
func (s *scribe) ReadHashes(indexes []int64) ([]tlog.Hash, error) {
	list := make([]tlog.Hash, len(indexes))
	for i, index := range indexes {
		list[i] = s.hashes[index]
	}
	return list, nil
}

// complete makes the body of a key or a checkpoint.
func (s *scribe) complete(e record.Entry) json.RawMessage {
	if s.asIs {
		return e.Body
	}
	switch e.Kind {
	case "key":
		if s.made == len(s.privates) {
			private, _, err := sumnote.GenerateKey(rand.Reader, origin)
			if err != nil {
				s.t.Fatal(err)
			}
			s.privates = append(s.privates, private)
		}
		private := s.privates[s.made]
		s.made++
		vkey := publicOf(private)
		body := map[string]string{"vkey": vkey}
		if s.signer != nil {
			body["by"] = s.signer.Name()
			body["signature"] = string(must(sumnote.Sign(&sumnote.Note{Text: "next key\n" + vkey + "\n"}, s.signer)))
		}
		s.signer, s.vkey = must(sumnote.NewSigner(private)), vkey
		return must(json.Marshal(body))
	case "checkpoint":
		root := must(tlog.TreeHash(s.leaves, s))
		text := fmt.Sprintf("%s\n%d\n%s\nseq %d\nat_ms %d\nwall_ms %d\n", s.signer.Name(), s.leaves, root, e.Seq-1, e.At.Milliseconds(), e.Wall.UnixMilli())
		signed := string(must(sumnote.Sign(&sumnote.Note{Text: text}, s.signer)))
		s.notes = append(s.notes, signed)
		return must(json.Marshal(map[string]string{"note": signed, "why": "asked"}))
	}
	return e.Body
}

// publicOf returns the verifier key to a private key as GenerateKey makes it,
// PRIVATE+KEY+name+id+base64(1 ‖ seed).
func publicOf(private string) string {
	parts := strings.SplitN(private, "+", 5)
	seed := must(base64.StdEncoding.DecodeString(parts[4]))
	public := ed25519.NewKeyFromSeed(seed[1:]).Public().(ed25519.PublicKey)
	return must(sumnote.NewEd25519VerifierKey(parts[2], public))
}

// keepOpen writes what is not sealed where open readings are.
func (s *scribe) keepOpen() {
	for _, name := range s.names {
		for _, e := range s.open[name] {
			s.insert("stretch", e.Seq, e.At.Milliseconds(), e.Wall.UnixMilli())
			cells := []any{e.Seq, s.bath(name), 0, 0}
			for list := range e.Frame.Probes {
				cells = append(cells, cellOf(&e, list))
			}
			s.insert("reading", append(cells, cellOf(&e, pressure))...)
		}
	}
}

// seal writes the open readings of a bath as a block.
func (s *scribe) seal(name string) {
	open := s.open[name]
	if len(open) == 0 {
		return
	}
	line := fmt.Appendf(nil, `{"leaf":%d,"readings":%s`, s.leaves, must(json.Marshal(name)))
	line = differences(line, "seq", open, func(e *record.Entry) int64 { return e.Seq })
	line = differences(line, "at_ms", open, func(e *record.Entry) int64 { return e.At.Milliseconds() })
	line = differences(line, "ahead_ms", open, func(e *record.Entry) int64 { return e.Wall.UnixMilli() - e.At.Milliseconds() })
	step := int64(625)
	for i := range open {
		for list := range open[i].Frame.Probes {
			for n, ok := cellOf(&open[i], list).(int64); ok && n%step != 0; {
				step /= 5
			}
		}
	}
	line = fmt.Appendf(line, `,"step":%d`, step)
	for list, word := range [...]string{"oil", "bath", "room", "pressure"} {
		by := step
		if list == pressure {
			by = 1
		}
		line = cells(line, word, open, list, by)
	}
	line = append(line, '}')
	pack, at := s.toPack(name, line)
	s.insert("block", s.leaves, s.bath(name), open[0].Seq, open[len(open)-1].Seq, len(open), len(line), pack, at)
	s.open[name] = open[:0]
	s.leaf(line)
}
