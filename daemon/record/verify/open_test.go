package verify

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// looks is what there is in a folder: names, bytes, instants of change.
func looks(t *testing.T, dir string) string {
	t.Helper()
	var w strings.Builder
	for _, e := range must(os.ReadDir(dir)) {
		info := must(e.Info())
		fmt.Fprintf(&w, "%s %v %v %x\n", e.Name(), info.ModTime(), info.Mode(), must(os.ReadFile(filepath.Join(dir, e.Name()))))
	}
	return w.String()
}

// leavesAlone verifies the record in dir and sees that nothing there changed, and
// that nothing is left where temporary files go.
func leavesAlone(t *testing.T, dir string) Report {
	t.Helper()
	temporary := t.TempDir()
	t.Setenv("TMPDIR", temporary)
	before := looks(t, dir)
	r := verified(t, dir, Options{Version: "test"})
	if after := looks(t, dir); after != before {
		t.Error("the folder was changed")
	}
	if left := must(os.ReadDir(temporary)); len(left) > 0 {
		t.Errorf("left %v behind", left)
	}
	if !r.Clean {
		t.Errorf("found %+v", r.Findings)
	}
	return r
}

// A record that lies still is read where it is, and not a byte or an instant of it changes.
func TestARecordAtRestIsLeftAlone(t *testing.T) {
	l := newLedger(t)
	aDay(t, l)
	l.close()
	leavesAlone(t, filepath.Dir(l.path))
}

// A record in use, its newest entries in the log beside the file, is read from a
// copy: all of it, and nothing of it changes.
func TestARecordInUseIsLeftAloneAndReadToItsEnd(t *testing.T) {
	l := newLedger(t)
	y := aDay(t, l)
	y.poll(10*time.Second, 30*time.Second)
	if info, err := os.Stat(l.path + "-wal"); err != nil || info.Size() == 0 {
		t.Fatalf("there is no log beside the record: %v", err)
	}
	r := leavesAlone(t, filepath.Dir(l.path))
	if r.Totals.OpenReadings != 6 || r.Totals.Readings != 522 {
		t.Errorf("%d readings, %d of them open; want 522 and 6", r.Totals.Readings, r.Totals.OpenReadings)
	}
	if !told(r, AboutOpenReadings) || !told(r, AboutNothingHeld) {
		t.Errorf("it tells %+v", r.Notes)
	}
	l.close()
}

// A record that a daemon left in a hurry, with its log beside it, is read to its end.
func TestARecordThatWasLeftInAHurryIsReadToItsEnd(t *testing.T) {
	l := newLedger(t)
	y := aDay(t, l)
	y.poll(10*time.Second, 30*time.Second)
	left := t.TempDir()
	for _, name := range []string{fileName, fileName + "-wal"} {
		if err := os.WriteFile(filepath.Join(left, name), must(os.ReadFile(filepath.Join(filepath.Dir(l.path), name))), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	l.close()
	if r := leavesAlone(t, left); r.Totals.Readings != 522 {
		t.Errorf("%d readings, want 522", r.Totals.Readings)
	}
}

func told(r Report, about string) bool {
	for _, n := range r.Notes {
		if n.About == about {
			return true
		}
	}
	return false
}

// What is no record is said to be none, with what to do.
func TestWhatIsNoRecordIsSaidToBeNone(t *testing.T) {
	empty, text, other, old := t.TempDir(), t.TempDir(), t.TempDir(), t.TempDir()
	write(t, filepath.Join(text, fileName), strings.Repeat("Plantago lanceolata\n", 300))
	for dir, marks := range map[string]string{other: "CREATE TABLE tunes (name TEXT)", old: fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = 1; CREATE TABLE t (x)", applicationID)} {
		db := must(sql.Open("sqlite", filepath.Join(dir, fileName)))
		if _, err := db.Exec(marks); err != nil {
			t.Fatal(err)
		}
		db.Close()
	}
	if _, err := Folder(t.Context(), empty, Options{}); !errors.Is(err, fs.ErrNotExist) || !strings.Contains(err.Error(), "name the folder that holds record.db") {
		t.Errorf("an empty folder: %v", err)
	}
	if _, err := Folder(t.Context(), old, Options{}); err == nil || !strings.Contains(err.Error(), "format 1") {
		t.Errorf("format 1: %v", err)
	}
	write(t, filepath.Join(empty, fileName), "")
	if _, err := Folder(t.Context(), empty, Options{}); err == nil || !strings.Contains(err.Error(), "empty") {
		t.Errorf("an empty file: %v", err)
	}
	for dir, want := range map[string]Kind{text: DamagedFile, other: Layout} {
		if r := verified(t, dir, Options{}); r.Clean || r.Findings[0].Kind != want {
			t.Errorf("%v, want %s", r.Findings, want)
		}
	}
}

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

// A mistyped key or checkpoint is said before anything is read.
func TestMistypedEvidenceIsRefused(t *testing.T) {
	for what, err := range map[string]error{
		"key":     second(Folder(t.Context(), "nowhere", Options{Key: "bainward/x+12345678+AAAA"})),
		"witness": second(Folder(t.Context(), "nowhere", Options{Witnesses: []string{"x"}})),
		"root":    second(HeldOf("paper", 3, "AAAA")),
		"size":    second(HeldOf("paper", -3, c2spRoot)),
		"note":    second(ParseHeld("a file", "3\n")),
		"text":    second(ParseHeld("a file", strings.Replace(c2spNote, "This", "That", 1))),
	} {
		if err == nil {
			t.Errorf("a wrong %s was taken", what)
		}
	}
}

// A checkpoint that came through a mail or a shell is still one.
func TestACheckpointSurvivesItsKeeping(t *testing.T) {
	text := c2spCheckpoint + "\n— example.com/behind-the-sofa AAAAAAAA\n"
	want := must(ParseHeld("a file", text))
	for _, kept := range []string{text + "\n", "\n" + text, strings.ReplaceAll(text, "\n", "\r\n"), strings.TrimSpace(text)} {
		if got, err := ParseHeld("a file", kept); err != nil || got.checkpoint != want.checkpoint || got.note.text != want.note.text {
			t.Errorf("%q: %+v, %v", kept, got, err)
		}
	}
}

const c2spRoot = "CsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I="

func second[T any](_ T, err error) error { return err }

// Whoever wants it to stop is obeyed, and nothing is left behind.
func TestVerifyingEndsWhenItIsAskedTo(t *testing.T) {
	l := newLedger(t)
	aDay(t, l)
	temporary := t.TempDir()
	t.Setenv("TMPDIR", temporary)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := Folder(ctx, l.path, Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	if left := must(os.ReadDir(temporary)); len(left) > 0 {
		t.Errorf("left %v behind", left)
	}
	l.close()
}

// While a daemon writes as fast as it can, every look finds a sound record: never
// half a poll, never a file and a log that do not belong together.
func TestARecordIsSoundWheneverOneLooks(t *testing.T) {
	l := newLedger(t)
	y := newYard(t, l, "north", "south")
	y.raw("", "key", `{"vkey":""}`)
	y.start("test")
	y.did(0, "fill 1.85 kg; charge 220 g; light")
	written, looked := make(chan struct{}), make(chan error)
	go func() {
		defer close(looked)
		for looks, entries := 0, int64(0); ; looks++ {
			r, err := Folder(context.Background(), l.path, Options{Version: "test"})
			if err == nil && (!r.Clean || r.Totals.Entries < entries) {
				err = fmt.Errorf("after %d entries %d: %+v", entries, r.Totals.Entries, r.Findings)
			}
			if entries = r.Totals.Entries; err != nil {
				looked <- err
				return
			}
			select {
			case <-written:
				if looks > 2 {
					return
				}
			default:
			}
		}
	}()
	for range 25 {
		y.poll(10*time.Second, time.Minute)
		y.checkpoint()
	}
	close(written)
	if err := <-looked; err != nil {
		t.Error(err)
	}
	l.close()
}
