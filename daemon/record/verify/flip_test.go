package verify

import (
	"context"
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
)

// content is everything that a record says, as text: its marks, its tables and
// views but for their comments, and every row of every table in order. Blocks are
// unpacked: what is hashed and read is the line, not its packing.
func content(ctx context.Context, path string) (string, error) {
	db, err := sql.Open("sqlite", "file:"+path+"?mode=ro&immutable=1")
	if err != nil {
		return "", err
	}
	defer db.Close()
	var w strings.Builder
	for _, q := range []string{
		"PRAGMA application_id", "PRAGMA user_version", "PRAGMA encoding",
		"SELECT type, name, tbl_name, sql FROM sqlite_schema ORDER BY name",
		"SELECT * FROM bath ORDER BY id", "SELECT * FROM stretch ORDER BY first", "SELECT * FROM reading ORDER BY seq",
		"SELECT * FROM block ORDER BY leaf", "SELECT * FROM pack ORDER BY id", "SELECT l.leaf, k.size, l.data FROM loose l LEFT JOIN block k ON k.leaf = l.leaf ORDER BY l.leaf", "SELECT * FROM entry ORDER BY seq", "SELECT * FROM hash ORDER BY id",
	} {
		if err := dump(ctx, db, &w, q); err != nil {
			return "", fmt.Errorf("%s: %w", q, err)
		}
	}
	return w.String(), nil
}

func dump(ctx context.Context, db *sql.DB, w *strings.Builder, query string) error {
	rows, err := db.QueryContext(ctx, query)
	if err != nil {
		return err
	}
	defer rows.Close()
	columns, err := rows.Columns()
	if err != nil {
		return err
	}
	cells, into := make([]any, len(columns)), make([]any, len(columns))
	for i := range cells {
		into[i] = &cells[i]
	}
	var in inflater
	for rows.Next() {
		if err := rows.Scan(into...); err != nil {
			return err
		}
		if i := slices.Index(columns, "data"); i >= 0 {
			data, _ := cells[i].([]byte)
			size, _ := cells[slices.Index(columns, "size")].(int64)
			line, err := in.line(data, size)
			if err != nil {
				return err
			}
			cells[i] = string(line)
		}
		if i := slices.Index(columns, "sql"); i >= 0 {
			statement, _ := cells[i].(string)
			cells[i] = bare(statement)
		}
		for _, c := range cells {
			writeCell(w, c)
		}
	}
	return rows.Err()
}

// writeCell writes a value with its type and its length, so that no two lists of
// values read the same. It runs a hundred thousand times over a record.
func writeCell(w *strings.Builder, cell any) {
	var sort, text string
	switch c := cell.(type) {
	case string:
		sort, text = "text", c
	case []byte:
		sort, text = "blob", string(c)
	case int64:
		sort, text = "number", strconv.FormatInt(c, 10)
	default:
		sort, text = fmt.Sprintf("%T", c), fmt.Sprint(c)
	}
	for _, part := range [...]string{sort, " ", strconv.Itoa(len(text)), ":", text} {
		w.WriteString(part)
	}
}

// flips counts what became of changed bytes.
type flips struct {
	all, found, harmless atomic.Int64
	mu                   sync.Mutex
	missed               []int64
	of                   map[Kind]int
}

// one changes a byte of the file at path and puts it back afterwards.
func (f *flips) one(ctx context.Context, file *os.File, at int64, mask byte, whole string) error {
	var b [1]byte
	if _, err := file.ReadAt(b[:], at); err != nil {
		return err
	}
	if _, err := file.WriteAt([]byte{b[0] ^ mask}, at); err != nil {
		return err
	}
	f.all.Add(1)
	path := file.Name()
	o := Options{Version: "test", Workers: 1, SkipFold: true}
	r, err := Folder(ctx, path, o)
	if err == nil && r.Clean {
		var now string
		if now, err = content(ctx, path); err == nil && now == whole {
			f.harmless.Add(1)
		} else {
			o.SkipFold = false
			if r, err = Folder(ctx, path, o); err == nil && r.Clean {
				f.mu.Lock()
				f.missed = append(f.missed, at)
				f.mu.Unlock()
			}
		}
	}
	if err != nil || !r.Clean {
		f.found.Add(1)
		f.count(r, err)
	}
	_, err = file.WriteAt(b[:], at)
	return err
}

func (f *flips) count(r Report, err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if err != nil {
		f.of["not opened at all"]++
		return
	}
	f.of[r.Findings[0].Kind]++
}

// Any byte of a record's file that changes is found, or the record says the very
// same as before. Each is changed in turn with
//
//	BAINWARD_FULL=1 go test ./daemon/record/verify -run EveryByte -v -timeout 90m
//
// and one of some dozens without. In small pages the same record has every kind of
// page that SQLite knows, and half as much room in which nothing stands; pages as
// the daemon makes them hold it in leaves alone.
func TestEveryByteThatChangesIsFoundOrSaysNothing(t *testing.T) {
	sound := soundRecords(t)["by the daemon"]
	t.Run("in small pages", func(t *testing.T) { flipBytes(t, inSmallPages(t, sound.path), 41) })
	t.Run("as the daemon wrote it", func(t *testing.T) { flipBytes(t, sound.path, 97) })
}

// inSmallPages returns a copy of a record in the smallest pages that there are.
func inSmallPages(t *testing.T, path string) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), fileName)
	if err := os.WriteFile(name, must(os.ReadFile(path)), 0o600); err != nil {
		t.Fatal(err)
	}
	db := must(sql.Open("sqlite", "file:"+name))
	defer db.Close()
	db.SetMaxOpenConns(1)
	if _, err := db.ExecContext(t.Context(), "PRAGMA journal_mode = DELETE; PRAGMA page_size = 512; VACUUM; PRAGMA journal_mode = WAL"); err != nil {
		t.Fatal(err)
	}
	var size int
	if err := db.QueryRowContext(t.Context(), "PRAGMA page_size").Scan(&size); err != nil || size != 512 {
		t.Fatalf("pages of %d bytes, %v", size, err)
	}
	return name
}

// flipBytes changes one of every step bytes of the record at path, each by itself.
func flipBytes(t *testing.T, path string, step int) {
	data := must(os.ReadFile(path))
	whole := must(content(t.Context(), path))
	if full() {
		step = 1
	}
	f := flips{of: map[Kind]int{}}
	var next atomic.Int64
	var running sync.WaitGroup
	for n := range runtime.GOMAXPROCS(0) {
		dir := filepath.Join(t.TempDir(), fmt.Sprint(n))
		if err := os.Mkdir(dir, 0o700); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(dir, fileName)
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		file := must(os.OpenFile(path, os.O_RDWR, 0))
		defer file.Close()
		running.Go(func() {
			for {
				at := next.Add(int64(step)) - int64(step)
				if at >= int64(len(data)) {
					return
				}
				// Another bit of each byte; of all bits where there is time.
				mask := byte(1) << (at / int64(step) % 8)
				if err := f.one(t.Context(), file, at, mask, whole); err != nil {
					t.Error(err)
					return
				}
			}
		})
	}
	running.Wait()
	t.Logf("%d bytes of %d changed, one at a time: %d found, %d changed nothing that the record says, %d missed",
		f.all.Load(), len(data), f.found.Load(), f.harmless.Load(), len(f.missed))
	for k, n := range f.of {
		t.Logf("  first named %s: %d", k, n)
	}
	if len(f.missed) > 0 {
		t.Errorf("missed at %v", f.missed[:min(20, len(f.missed))])
	}
	if f.all.Load() == 0 || f.found.Load() == 0 {
		t.Error("nothing was tried")
	}
}
