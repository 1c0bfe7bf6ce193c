package record

import (
	"bufio"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"
)

// appendForEver appends poll after poll and says the last number of each once
// it is durable. Its parent kills it.
func appendForEver(dir string) error {
	ctx := context.Background()
	r, err := Open(ctx, Options{Dir: dir})
	if err != nil {
		return err
	}
	end, err := r.Last(ctx)
	if err != nil {
		return err
	}
	for at := end.At + time.Second; ; at += time.Minute { // so that some polls seal
		numbered, err := r.Append(ctx, pollOf(at))
		if err != nil {
			return err
		}
		fmt.Println(numbered[len(numbered)-1].Seq)
	}
}

// killAfter starts a child that appends, kills it by SIGKILL some time after it
// has acknowledged so many polls, and returns the last number acknowledged.
func killAfter(t *testing.T, dir string, polls int, then time.Duration) (acknowledged int64) {
	t.Helper()
	child := exec.Command(os.Args[0], dir)
	child.Env = append(os.Environ(), childOf+"=append")
	child.Stderr = os.Stderr
	out, err := child.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	read := func() bool {
		if !lines.Scan() {
			return false
		}
		if acknowledged, err = strconv.ParseInt(lines.Text(), 10, 64); err != nil {
			t.Fatal(err)
		}
		return true
	}
	for range polls {
		if !read() {
			t.Fatal("the child ended by itself")
		}
	}
	killed := time.AfterFunc(then, func() { _ = child.Process.Kill() })
	defer killed.Stop()
	for read() { // what it still acknowledged before it died
	}
	_ = child.Wait()
	return acknowledged
}

func TestEveryAcknowledgedEntryOutlivesKill(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "record")
	const each = 3 // entries in a poll
	rounds := 60
	if testing.Short() {
		rounds = 10
	}
	inFlight := 0
	for range rounds {
		acknowledged := killAfter(t, dir, rand.IntN(12), time.Duration(rand.Int64N(int64(30*time.Millisecond))))
		r, err := Open(context.Background(), Options{Dir: dir})
		if err != nil {
			t.Fatal(err)
		}
		entries := all(t, r.Reader)
		if len(entries)%each != 0 {
			t.Fatalf("half a poll is in the record: %d entries", len(entries))
		}
		if err := sound(r.Reader, entries); err != nil {
			t.Fatal(err)
		}
		if over := int64(len(entries)) - acknowledged; acknowledged > 0 && over != 0 && over != each {
			t.Fatalf("acknowledged up to %d, found up to %d", acknowledged, len(entries))
		} else if over == each {
			inFlight++
		}
		if err := r.Close(); err != nil {
			t.Fatal(err)
		}
	}
	t.Logf("%d of %d kills fell between the commit and its acknowledgement", inFlight, rounds)
	checkIntegrity(t, dir)
}

func TestARecordKilledWhileBeingMadeCanBeOpened(t *testing.T) {
	for range 25 {
		dir := filepath.Join(t.TempDir(), "record")
		acknowledged := killAfter(t, dir, 0, time.Duration(rand.Int64N(int64(40*time.Millisecond))))
		r := openIn(t, dir)
		if n := int64(len(all(t, r.Reader))); n < acknowledged {
			t.Fatalf("acknowledged up to %d, found up to %d", acknowledged, n)
		}
		appendTo(t, r, pollOf(time.Hour)...)
	}
}

// TestATornLogGivesWholePolls cuts the write-ahead log anywhere, as a power cut
// may that comes before the fsync: what is left is a beginning of the record,
// in whole polls, and no acknowledged poll that lay before the cut is missing.
func TestATornLogGivesWholePolls(t *testing.T) {
	dir := t.TempDir()
	r := openIn(t, dir)
	size := func() int64 { return must(os.Stat(filepath.Join(dir, "record.db-wal"))).Size() }
	var durable []int64 // size of the log when that poll was acknowledged
	for i := range 40 {
		appendTo(t, r, pollOf(time.Duration(i)*40*time.Second)...)
		durable = append(durable, size())
	}
	file := must(os.ReadFile(filepath.Join(dir, fileName)))
	wal := must(os.ReadFile(filepath.Join(dir, fileName+"-wal")))
	for range 60 {
		cut := rand.IntN(len(wal) + 1)
		torn := t.TempDir()
		for name, content := range map[string][]byte{fileName: file, fileName + "-wal": wal[:cut]} {
			if err := os.WriteFile(filepath.Join(torn, name), content, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		r := openIn(t, torn)
		entries := all(t, r.Reader)
		if err := sound(r.Reader, entries); err != nil {
			t.Fatalf("log cut at %d of %d: %v", cut, len(wal), err)
		}
		want := 0
		for _, size := range durable {
			if int64(cut) >= size {
				want++
			}
		}
		if len(entries) != 3*want {
			t.Fatalf("log cut at %d of %d: %d entries, want %d polls of 3", cut, len(wal), len(entries), want)
		}
	}
}

func checkIntegrity(t *testing.T, dir string) {
	t.Helper()
	db, err := openFile(filepath.Join(dir, fileName), forReading)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	var verdict string
	if err := db.QueryRow("PRAGMA integrity_check").Scan(&verdict); err != nil || verdict != "ok" {
		t.Errorf("integrity check: %q, %v", verdict, err)
	}
	if db.QueryRow("PRAGMA foreign_key_check").Scan(&verdict) == nil {
		t.Errorf("foreign key check: rows of %s point nowhere", verdict)
	}
}
