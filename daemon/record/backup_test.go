package record

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
	"time"
)

// A backup that is made while the daemon writes is a whole record: it ends with
// some poll, no entry of it differs, and a daemon can go on with it.
func TestABackupIsMadeWhileTheRecordIsWritten(t *testing.T) {
	dir, to := t.TempDir(), filepath.Join(t.TempDir(), "copy")
	r := openIn(t, dir)
	stop, done := make(chan struct{}), make(chan error, 1)
	started := make(chan struct{})
	go func() {
		var err error
		for i := 0; err == nil; i++ {
			select {
			case <-stop:
				done <- nil
				return
			default:
			}
			_, err = r.Append(t.Context(), pollOf(time.Duration(i)*time.Second))
			if i == 200 {
				close(started)
			}
		}
		done <- err
	}()
	<-started
	if err := r.Backup(t.Context(), to); err != nil {
		t.Fatal(err)
	}
	close(stop)
	if err := <-done; err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(to, keyFile)); !errors.Is(err, fs.ErrNotExist) {
		t.Error("the backup holds the signing key")
	}
	again := openIn(t, to)
	end, err := again.Last(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if end.Seq < 3*200 || end.Seq%3 != 0 {
		t.Errorf("the copy ends with entry %d: part of a poll, or too few", end.Seq)
	}
	size, err := again.TreeSize(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	ours, err := again.Root(t.Context(), size)
	if err != nil {
		t.Fatal(err)
	}
	if theirs, err := r.Root(t.Context(), size); err != nil || theirs != ours {
		t.Errorf("the copy's tree has the root %v, the record's %v (%v)", ours, theirs, err)
	}
	if _, err := again.Append(t.Context(), pollOf(time.Duration(end.Seq)*time.Second)); err != nil {
		t.Errorf("nobody can go on with the copy: %v", err)
	}
}

// A backup writes over nothing, and leaves nothing behind where it fails.
func TestABackupWritesOverNothing(t *testing.T) {
	r, to := openIn(t, t.TempDir()), t.TempDir()
	if err := r.Backup(t.Context(), to); err != nil {
		t.Fatal(err)
	}
	if err := r.Backup(t.Context(), to); !errors.Is(err, fs.ErrExist) {
		t.Errorf("a second backup into the same folder: %v, want fs.ErrExist", err)
	}
	there, err := os.ReadDir(to)
	if err != nil || len(there) != 1 {
		t.Errorf("the folder holds %v (%v), want the record alone", there, err)
	}
}
