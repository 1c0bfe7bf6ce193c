package record

import (
	"testing"
	"time"
)

// TestAReaderSeesWholePollsWhileTheDaemonWrites reads the record over and over,
// from a connection of its own as another process would, while polls come in.
func TestAReaderSeesWholePollsWhileTheDaemonWrites(t *testing.T) {
	dir := t.TempDir()
	r := openIn(t, dir)
	appendTo(t, r, pollOf(0)...)
	reader, err := OpenReader(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer reader.Close()
	written := make(chan int64)
	go func() {
		defer close(written)
		for i := range 300 {
			numbered, err := r.Append(t.Context(), pollOf(time.Duration(i)*20*time.Second)) // every fifteenth seals
			if err != nil {
				t.Error(err)
				return
			}
			written <- numbered[2].Seq
		}
	}()
	for last := range written {
		end, err := reader.Last(t.Context())
		if err != nil || end.Seq < last || end.Seq%3 != 0 {
			t.Fatalf("after entry %d was acknowledged the reader sees %d, %v", last, end.Seq, err)
		}
		if last%60 == 0 {
			if n := len(all(t, reader)); n < int(last) {
				t.Fatalf("after entry %d was acknowledged the reader reads %d", last, n)
			}
		}
	}
}

// A slow reader, such as a download, must not keep the write-ahead log from
// being folded into the file: it would grow for as long.
func TestASlowReaderHoldsNoLock(t *testing.T) {
	r := openIn(t, t.TempDir())
	for i := range 400 {
		appendTo(t, r, pollOf(time.Duration(i)*time.Second)...)
	}
	for e, err := range r.Entries(t.Context(), 1, 0) {
		if err != nil {
			t.Fatal(err)
		}
		if e.Seq != 5 {
			continue
		}
		appendTo(t, r, pollOf(time.Hour)...)
		var busy, frames, folded int
		err := r.conn.QueryRowContext(t.Context(), "PRAGMA wal_checkpoint(TRUNCATE)").Scan(&busy, &frames, &folded)
		if err != nil || busy != 0 {
			t.Errorf("in the middle of reading: busy %d, %v", busy, err)
		}
	}
}

// A record that was closed in good order is one file, which can be copied.
func TestAClosedRecordIsOneFile(t *testing.T) {
	dir := t.TempDir()
	r := openIn(t, dir)
	appendTo(t, r, pollOf(0)...)
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	files := contents(t, dir)
	if len(files) != 2 {
		t.Errorf("%d files are left, want record.db and lock", len(files))
	}
	reader, err := OpenReader(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer reader.Close()
	if n := len(all(t, reader)); n != 3 {
		t.Errorf("%d entries, want 3", n)
	}
}
