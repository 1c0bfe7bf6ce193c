package record

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/sensors"
)

// format1 is the layout of format 1 as the program wrote it that knew no other.
const format1 = `
CREATE TABLE bath (id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE) STRICT;
CREATE TABLE stretch (first INTEGER PRIMARY KEY, at_ms INTEGER NOT NULL, wall_ms INTEGER NOT NULL) STRICT;
CREATE TABLE reading (seq INTEGER PRIMARY KEY, bath INTEGER NOT NULL REFERENCES bath, at INTEGER NOT NULL, wall INTEGER NOT NULL,
  oil ANY, bath_ ANY, room ANY, pressure ANY) STRICT;
CREATE TABLE entry (seq INTEGER PRIMARY KEY, at_ms INTEGER NOT NULL, wall_ms INTEGER NOT NULL, bath INTEGER REFERENCES bath,
  kind TEXT NOT NULL, body TEXT NOT NULL) STRICT;
CREATE INDEX entry_of ON entry (kind, bath, seq);
CREATE VIEW temperature AS SELECT r.seq, s.at_ms + r.at AS offset_ms, b.name AS bath, r.oil FROM reading r
  CROSS JOIN stretch s ON s.first = (SELECT max(first) FROM stretch WHERE first <= r.seq) CROSS JOIN bath b ON b.id = r.bath;
CREATE VIEW log AS SELECT r.seq, 'reading' AS kind FROM reading r UNION ALL SELECT e.seq, e.kind FROM entry e ORDER BY 1;
`

// writeFormat1 writes entries, already numbered, as format 1 had them.
func writeFormat1(t *testing.T, dir string, entries []Entry) {
	t.Helper()
	db := must(openFile(filepath.Join(dir, fileName), forWriting))
	defer db.Close()
	db.SetMaxOpenConns(1)
	run := func(q string, args ...any) {
		t.Helper()
		if _, err := db.Exec(q, args...); err != nil {
			t.Fatal(err)
		}
	}
	run("PRAGMA journal_mode = WAL")
	run("BEGIN")
	run(format1 + "PRAGMA application_id = 1651995236; PRAGMA user_version = 1;")
	baths := map[string]any{"": nil}
	var s stretch
	for _, e := range entries {
		if _, known := baths[e.Bath]; !known {
			baths[e.Bath] = len(baths) - 1
			run("INSERT INTO bath VALUES (?, ?)", baths[e.Bath], e.Bath)
		}
		if e.Kind != KindReading {
			run("INSERT INTO entry VALUES (?, ?, ?, ?, ?, ?)", e.Seq, e.At.Milliseconds(), e.Wall.UnixMilli(), baths[e.Bath], string(e.Kind), string(e.Body))
			continue
		}
		at, wall, near := s.offsets(e.At.Milliseconds(), e.Wall.UnixMilli())
		if !near {
			s, at, wall = stretch{e.Seq, e.At.Milliseconds(), e.Wall.UnixMilli()}, 0, 0
			run("INSERT INTO stretch VALUES (?, ?, ?)", s.first, s.atMS, s.wallMS)
		}
		c := must(columnsOf(e.Frame))
		run("INSERT INTO reading VALUES (?, ?, ?, ?, ?, ?, ?, ?)", e.Seq, baths[e.Bath], at, wall, c[0], c[1], c[2], c[3])
	}
	run("COMMIT")
}

// someHours are entries of every sort over several pages of a conversion.
func someHours() []Entry {
	var entries []Entry
	put := func(e Entry) {
		e.Seq = int64(len(entries)) + 1
		entries = append(entries, e)
	}
	put(must(Of(0, nine, "", Restart{Boot: "a"})))
	put(must(Of(0, nine, "north", Config{Config: rules.Config{Bath: "north"}})))
	put(must(Of(0, nine, "north", Batch{State: Opened, Number: "1"})))
	for second := range 3 * 3600 {
		put(readingOf("north", second))
		f := frameAt(time.Duration(second) * time.Second)
		f.Probes[sensors.Room] = sensors.Failed(sensors.Absent)
		put(OfFrame("Süd, hinten", f))
		if second%1000 == 7 {
			put(must(Of(f.At, f.Wall, "north", PhaseOf(rules.Holding, 1))))
		}
	}
	at := 3 * time.Hour
	put(must(Of(at, nine.Add(at), "north", Batch{State: Closed, Number: "1"})))
	put(readingOf("north", 3*3600+5))
	return entries
}

func TestARecordOfFormat1IsConverted(t *testing.T) {
	dir := t.TempDir()
	entries := someHours()
	writeFormat1(t, dir, entries)
	told := 0
	r, err := Open(t.Context(), Options{Dir: dir, Working: func() { told++ }})
	if err != nil {
		t.Fatal(err)
	}
	defer func() { r.Close() }()
	if told < len(entries)/oldPageSize {
		t.Errorf("whoever waits was told %d times that it goes on", told)
	}
	if got := all(t, r.Reader); !reflect.DeepEqual(got, entries) {
		t.Fatal("the entries are not what they were")
	}
	if err := sound(r.Reader, entries); err != nil {
		t.Error(err)
	}
	again := openIn(t, t.TempDir())
	for i := range entries {
		appendTo(t, again, entries[i:min(i+1, len(entries))]...)
		if i > 500 {
			appendTo(t, again, entries[i+1:]...)
			break
		}
	}
	if r.tail.edge != again.tail.edge {
		t.Error("the tree is not what it would be, had the entries been appended to a new record")
	}
	appendTo(t, r, must(Of(4*time.Hour, nine, "", Key{})), must(Of(4*time.Hour, nine, "", Checkpoint{Why: WhyStart})))
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	checkIntegrity(t, dir)
	r = openIn(t, dir)
	if n := len(all(t, r.Reader)); n != len(entries)+2 {
		t.Errorf("opened again: %d entries, want %d", n, len(entries)+2)
	}
	var old int
	if err := r.conn.QueryRowContext(t.Context(), "SELECT count(*) FROM sqlite_schema WHERE name LIKE 'old%'").Scan(&old); err != nil || old != 0 {
		t.Errorf("%d tables of format 1 are left, %v", old, err)
	}
	if got := shell(t, dir, "SELECT count(*), min(seq), max(seq), count(DISTINCT seq) FROM temperature"); !strings.HasPrefix(got, "21601|4|") {
		t.Errorf("the view says %s", got)
	}
}

func TestAReaderDoesNotReadFormat1(t *testing.T) {
	dir := t.TempDir()
	writeFormat1(t, dir, someHours()[:10])
	before := contents(t, dir)
	_, err := OpenReader(dir)
	if older, ok := errors.AsType[*OlderError](err); !ok || older.Have != 1 || !strings.Contains(err.Error(), "start the daemon on it once") || !strings.Contains(err.Error(), dir) {
		t.Errorf("got %v, want an OlderError that says what to do", err)
	}
	if after := contents(t, dir); !reflect.DeepEqual(before, after) {
		t.Error("looking at it changed it")
	}
}

// A conversion that fails, or is killed, leaves a record of format 1.
func TestAFailedConversionChangesNothing(t *testing.T) {
	dir := t.TempDir()
	entries := someHours()
	holed := append(append([]Entry{}, entries[:6000]...), entries[6001:]...)
	writeFormat1(t, dir, holed)
	before := string(must(os.ReadFile(filepath.Join(dir, fileName))))
	_, err := Open(t.Context(), Options{Dir: dir})
	if err == nil || !strings.Contains(err.Error(), "a number is missing") {
		t.Errorf("a record with a hole: %v", err)
	}
	if string(must(os.ReadFile(filepath.Join(dir, fileName)))) != before {
		t.Error("the file has changed")
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := Open(ctx, Options{Dir: dir}); err == nil {
		t.Error("an ended context opened it")
	}
	db := must(sql.Open("sqlite", filepath.Join(dir, fileName)))
	defer db.Close()
	var version, readings int
	if err := db.QueryRow("SELECT user_version, (SELECT count(*) FROM reading) FROM pragma_user_version").Scan(&version, &readings); err != nil || version != 1 || readings < 20000 {
		t.Errorf("version %d, %d readings, %v", version, readings, err)
	}
}
