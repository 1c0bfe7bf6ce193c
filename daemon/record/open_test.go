package record

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// contents maps every file under dir to what is in it.
func contents(t *testing.T, dir string) map[string]string {
	t.Helper()
	files := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		files[path] = string(must(os.ReadFile(path)))
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// refuses checks that neither opening works, that both name the path and are of
// the kind wanted, and that nothing in dir has changed.
func refuses[E error](t *testing.T, dir string, words ...string) {
	t.Helper()
	before := contents(t, dir)
	_, err := Open(context.Background(), Options{Dir: dir})
	_, readErr := OpenReader(dir)
	for _, err := range []error{err, readErr} {
		if _, ok := errors.AsType[E](err); !ok {
			t.Fatalf("got %v, want a %T", err, *new(E))
		}
		for _, w := range append(words, dir) {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%q does not say %q", err, w)
			}
		}
		if strings.Contains(err.Error(), "\n") {
			t.Errorf("%q is more than a sentence", err)
		}
	}
	after := contents(t, dir)
	if len(before) != len(after) {
		t.Errorf("files before %d, after %d", len(before), len(after))
	}
	for path, text := range before {
		if after[path] != text {
			t.Errorf("%s has changed", path)
		}
	}
}

func TestARecordOfANewerVersionIsLeftAlone(t *testing.T) {
	dir := t.TempDir()
	writeDatabase(t, dir, fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = 7; CREATE TABLE later (x)", applicationID))
	refuses[*NewerError](t, dir, "newer", "format 7", "up to 2")
}

func TestANewerVersionThatIsOnlyInTheLogIsSeen(t *testing.T) {
	dir := t.TempDir()
	r := openIn(t, dir)
	if _, err := r.conn.ExecContext(t.Context(), "PRAGMA user_version = 7"); err != nil {
		t.Fatal(err)
	}
	copied := t.TempDir()
	for path, text := range contents(t, dir) {
		if err := os.WriteFile(filepath.Join(copied, filepath.Base(path)), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	_, err := Open(t.Context(), Options{Dir: copied})
	if newer, ok := errors.AsType[*NewerError](err); !ok || newer.Have != 7 {
		t.Errorf("got %v, want a NewerError of version 7", err)
	}
	if _, err := r.conn.ExecContext(t.Context(), "PRAGMA user_version = 2"); err != nil {
		t.Fatal(err)
	}
}

func TestADatabaseOfAnotherProgramIsLeftAlone(t *testing.T) {
	dir := t.TempDir()
	writeDatabase(t, dir, "CREATE TABLE tunes (name TEXT)")
	refuses[*NotRecordError](t, dir, "another program")
}

func TestAFileThatIsNoDatabaseIsLeftAlone(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, fileName), []byte(strings.Repeat("Plantago lanceolata\n", 300)), 0o600); err != nil {
		t.Fatal(err)
	}
	refuses[*NotRecordError](t, dir, "not a record")
}

func TestAFolderInPlaceOfTheFileIsLeftAlone(t *testing.T) {
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, fileName), 0o700); err != nil {
		t.Fatal(err)
	}
	refuses[*NotRecordError](t, dir, "not a record but a folder")
}

func writeDatabase(t *testing.T, dir, script string) {
	t.Helper()
	db, err := openFile(filepath.Join(dir, fileName), forWriting)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec(script); err != nil {
		t.Fatal(err)
	}
}

// TestAFirstCommitCutShortIsUndone opens what a power cut leaves behind while
// SQLite makes the file: part of it written, and a journal that undoes it.
func TestAFirstCommitCutShortIsUndone(t *testing.T) {
	made, cut := t.TempDir(), t.TempDir()
	db, err := openFile(filepath.Join(made, fileName), forWriting)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	for _, q := range []string{
		"PRAGMA cache_size = 1", "BEGIN IMMEDIATE", "CREATE TABLE half (x)",
		"WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i+1 FROM n WHERE i < 500) INSERT INTO half SELECT randomblob(500) FROM n",
	} {
		if _, err := db.Exec(q); err != nil {
			t.Fatal(err)
		}
	}
	files := contents(t, made)
	if len(files) != 2 || len(files[filepath.Join(made, fileName)]) == 0 {
		t.Fatalf("want a file half written and its journal, got %d files", len(files))
	}
	for path, text := range files {
		if err := os.WriteFile(filepath.Join(cut, filepath.Base(path)), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	appendTo(t, openIn(t, cut), pollOf(0)...)
}

func TestAFileInPlaceOfTheFolderIsSaid(t *testing.T) {
	file := filepath.Join(t.TempDir(), "record")
	if err := os.WriteFile(file, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{file, filepath.Join(file, "below")} {
		_, err := Open(t.Context(), Options{Dir: dir})
		if _, ok := errors.AsType[*FolderError](err); !ok || !strings.Contains(err.Error(), dir) {
			t.Errorf("got %v, want a FolderError naming %s", err, dir)
		}
	}
	if text := string(must(os.ReadFile(file))); text != "mine" {
		t.Errorf("the file now holds %q", text)
	}
}

func TestThereIsNothingToReadWhereNoRecordIs(t *testing.T) {
	dir := t.TempDir()
	_, err := OpenReader(dir)
	if !errors.Is(err, fs.ErrNotExist) || !strings.Contains(err.Error(), "no record in "+dir) {
		t.Errorf("got %v", err)
	}
	if n := len(contents(t, dir)); n != 0 {
		t.Errorf("left %d files behind", n)
	}
}

// openAsNobody runs in a child: it gives up root, which may write everywhere,
// then tries to write to every folder, and to read the last.
func openAsNobody(dirs []string) error {
	const nobody = 65534
	if os.Getuid() == 0 {
		if err := syscall.Setuid(nobody); err != nil {
			return err
		}
	}
	for _, dir := range dirs {
		r, err := Open(context.Background(), Options{Dir: dir})
		if err == nil {
			return errors.Join(fmt.Errorf("%s could be written to", dir), r.Close())
		}
		_, ok := errors.AsType[*FolderError](err)
		fmt.Println(ok, err)
	}
	r, err := OpenReader(dirs[len(dirs)-1])
	if err != nil {
		return err
	}
	for e, err := range r.Entries(context.Background(), 1, 0) {
		if err != nil {
			return err
		}
		fmt.Println("read", e.Seq)
	}
	return r.Close()
}

func TestAFolderThatThisUserMayNotWriteToIsSaidAndCanBeRead(t *testing.T) {
	// Not t.TempDir: the folders above it are closed to others.
	base := must(os.MkdirTemp("", "record-nobody-"))
	defer os.RemoveAll(base)
	empty, mine, missing := filepath.Join(base, "empty"), filepath.Join(base, "mine"), filepath.Join(base, "missing")
	for _, dir := range []string{empty, mine} {
		if err := os.Mkdir(dir, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	r := must(Open(t.Context(), Options{Dir: mine}))
	appendTo(t, r, pollOf(0)...)
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{empty, mine, base} {
		if err := os.Chmod(dir, 0o555); err != nil {
			t.Fatal(err)
		}
		defer os.Chmod(dir, 0o755)
	}
	before := contents(t, base)
	child := exec.Command(os.Args[0], empty, missing, mine)
	child.Env = append(os.Environ(), childOf+"=nobody")
	out, err := child.CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	if n := strings.Count(string(out), "true record folder "); n != 3 {
		t.Errorf("%d of 3 folders were refused as they should be: %s", n, out)
	}
	if !strings.Contains(string(out), "read 3") {
		t.Errorf("the record could not be read: %s", out)
	}
	if after := contents(t, base); len(after) != len(before) {
		t.Errorf("files before %d, after %d", len(before), len(after))
	}
}

// holdOpen runs in a child: it holds the record until its input ends.
func holdOpen(dir string) error {
	r, err := Open(context.Background(), Options{Dir: dir})
	if err != nil {
		return err
	}
	fmt.Println("holding")
	if _, err := io.Copy(io.Discard, os.Stdin); err != nil {
		return err
	}
	return r.Close()
}

func TestASecondWriterIsToldWhoHoldsTheRecord(t *testing.T) {
	dir := t.TempDir()
	child := exec.Command(os.Args[0], dir)
	child.Env = append(os.Environ(), childOf+"=hold")
	child.Stderr = os.Stderr
	in := must(child.StdinPipe())
	out := bufio.NewScanner(must(child.StdoutPipe()))
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	if !out.Scan() {
		t.Fatal("the child does not hold the record")
	}
	_, err := Open(t.Context(), Options{Dir: dir})
	want := fmt.Sprintf("record %s is in use by another bainward (process %d): stop it or give another folder", dir, child.Process.Pid)
	if inUse, ok := errors.AsType[*InUseError](err); !ok || inUse.PID != child.Process.Pid || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
	reader, err := OpenReader(dir)
	if err != nil {
		t.Fatalf("a reader is kept out: %v", err)
	}
	defer reader.Close()

	if err := child.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = child.Wait()
	in.Close()
	openIn(t, dir) // the kernel has let go of the lock
}

func TestOneProcessCannotOpenARecordTwiceForWriting(t *testing.T) {
	dir := t.TempDir()
	r := openIn(t, dir)
	if _, err := Open(t.Context(), Options{Dir: dir}); err == nil || !strings.Contains(err.Error(), "in use") {
		t.Errorf("got %v, want to be refused", err)
	}
	appendTo(t, r, pollOf(time.Second)...)
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	openIn(t, dir)
}

func TestOffsetsAndNumbersGoOnAfterARestart(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "several new", "folders %3F#?")
	r := openIn(t, dir)
	appendTo(t, r, must(Of(0, nine, "", Restart{Boot: "first", Version: "1"})))
	appendTo(t, r, pollOf(7*time.Second)...)
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := r.Append(t.Context(), pollOf(8*time.Second)); err == nil {
		t.Error("a closed record took a poll")
	}
	r = openIn(t, dir)
	end, err := r.Last(t.Context())
	if want := (End{Seq: 4, At: 7 * time.Second, Wall: nine.Add(7 * time.Second), Boot: "first"}); err != nil || end != want {
		t.Errorf("the record ends at %+v, %v; want %+v", end, err, want)
	}
	if _, err := r.Append(t.Context(), pollOf(6*time.Second)); err == nil || !strings.Contains(err.Error(), "must not go back") {
		t.Errorf("an earlier offset after the restart: %v, want to be refused", err)
	}
	if e := appendTo(t, r, pollOf(7*time.Second)...)[0]; e.Seq != 5 {
		t.Errorf("the next number is %d, want 5", e.Seq)
	}
}
