package record

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"strings"
	"syscall"
	"testing"
	"time"

	"modernc.org/sqlite"
)

func TestAFullDiskLosesNothingAndPasses(t *testing.T) {
	dir := t.TempDir()
	r := openIn(t, dir)
	appendTo(t, r, pollOf(0)...)

	var pages int
	setLimit := func(n int) {
		if err := r.conn.QueryRowContext(t.Context(), fmt.Sprintf("PRAGMA max_page_count = %d", n)).Scan(&pages); err != nil {
			t.Fatal(err)
		}
	}
	setLimit(1) // SQLite raises it to what the file has
	good, i := 1, 1
	var err error
	for err == nil {
		if _, err = r.Append(t.Context(), pollOf(time.Duration(i)*time.Second)); err == nil {
			good++
		}
		i++
	}
	var full *sqlite.Error
	if !errors.As(err, &full) || full.Code() != codeFull || !strings.Contains(err.Error(), "make room") {
		t.Fatalf("got %v, want SQLITE_FULL and what to do", err)
	}
	for range 3 { // it goes on failing, and goes on being the same record
		if _, err := r.Append(t.Context(), pollOf(time.Duration(i)*time.Second)); err == nil {
			t.Fatal("written on a full disk")
		}
	}
	if n := len(all(t, r.Reader)); n != 3*good {
		t.Fatalf("%d entries on the full disk, want %d polls of 3", n, good)
	}

	setLimit(1 << 20)
	numbered := appendTo(t, r, pollOf(time.Duration(i)*time.Second)...)
	if numbered[0].Seq != int64(3*good)+1 {
		t.Errorf("first number after the full disk is %d, want %d", numbered[0].Seq, 3*good+1)
	}
	if n := len(all(t, r.Reader)); n != 3*good+3 {
		t.Errorf("%d entries afterwards, want %d", n, 3*good+3)
	}
	if err := sound(r.Reader, all(t, r.Reader)); err != nil {
		t.Error(err)
	}
	checkIntegrity(t, dir)
}

// A new bath's name is part of the poll that first names it: if that poll
// fails, the next one must give the name again.
func TestABathFirstNamedInAFailedPollIsNamedAgain(t *testing.T) {
	r := openIn(t, t.TempDir())
	appendTo(t, r, pollOf(0)...)
	if _, err := r.conn.ExecContext(t.Context(), "CREATE TEMP TRIGGER refuse BEFORE INSERT ON reading WHEN NEW.seq = 5 BEGIN SELECT RAISE(FAIL, 'no'); END"); err != nil {
		t.Fatal(err)
	}
	poll := []Entry{OfFrame("west", frameAt(time.Second)), OfFrame("east", frameAt(time.Second))}
	if _, err := r.Append(t.Context(), poll); err == nil {
		t.Fatal("the trigger did not refuse")
	}
	if n := len(all(t, r.Reader)); n != 3 {
		t.Fatalf("%d entries after the failed poll, want 3", n)
	}
	if _, err := r.conn.ExecContext(t.Context(), "DROP TRIGGER refuse"); err != nil {
		t.Fatal(err)
	}
	appendTo(t, r, poll...)
	if e, ok, err := r.LastOf(t.Context(), "west", KindReading); err != nil || !ok || e.Seq != 4 {
		t.Errorf("west's reading: %v %v %v, want entry 4", e, ok, err)
	}
}

// appendUntilFull runs in a child whose files the kernel does not let grow: the
// write(2) under the commit fails. Then the limit is lifted.
func appendUntilFull(dir string) error {
	ctx := context.Background()
	signal.Ignore(syscall.SIGXFSZ)
	r, err := Open(ctx, Options{Dir: dir})
	if err != nil {
		return err
	}
	limit := func(soft uint64) error {
		return syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: soft, Max: ^uint64(0)})
	}
	if err := limit(100_000); err != nil {
		return err
	}
	good, i := 0, 0
	for ; ; i++ {
		if _, err = r.Append(ctx, pollOf(time.Duration(i)*time.Second)); err != nil {
			break
		}
		good++
	}
	if _, again := r.Append(ctx, pollOf(time.Duration(i)*time.Second)); again == nil {
		return errors.New("written above the limit")
	}
	if err := limit(^uint64(0)); err != nil {
		return err
	}
	numbered, again := r.Append(ctx, pollOf(time.Duration(i)*time.Second))
	if again != nil {
		return fmt.Errorf("with room again: %w", again)
	}
	fmt.Println(good, numbered[2].Seq, err)
	return r.Close()
}

func TestAWriteThatTheKernelRefusesLosesNothingAndPasses(t *testing.T) {
	dir := t.TempDir()
	child := exec.Command(os.Args[0], dir)
	child.Env = append(os.Environ(), childOf+"=full")
	out, err := child.CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	var good, last int
	if _, err := fmt.Sscan(string(out), &good, &last); err != nil {
		t.Fatalf("%v in %q", err, out)
	}
	if good == 0 || last != 3*good+3 || !strings.Contains(string(out), "the disk refuses") {
		t.Errorf("child said %q: want some polls of 3, then one more", out)
	}
	r := openIn(t, dir)
	if n := len(all(t, r.Reader)); n != last {
		t.Errorf("%d entries in the record, want %d", n, last)
	}
	if err := sound(r.Reader, all(t, r.Reader)); err != nil {
		t.Error(err)
	}
	checkIntegrity(t, dir)
}
