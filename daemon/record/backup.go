package record

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// Backup writes a copy of the record into the folder dir, which must not hold one,
// while a daemon may go on writing: the copy ends with some Append, whole. It is a
// record like any other, to be opened where it lies or to be moved to where the
// first one was. The signing key is not in it: a daemon that goes on with a copy
// makes a new key, and the verifier says so. An error leaves nothing behind.
func (r *Reader) Backup(ctx context.Context, dir string) error {
	fail := func(err error) error { return fmt.Errorf("back up the record to %s: %w", dir, err) }
	if err := os.MkdirAll(dir, 0o750); err != nil {
		return fail(err)
	}
	to := filepath.Join(dir, fileName)
	if _, err := os.Lstat(to); err == nil {
		return fail(fmt.Errorf("a record is there already: name another folder: %w", fs.ErrExist))
	} else if !errors.Is(err, fs.ErrNotExist) {
		return fail(err)
	}
	temp := to + ".part"
	if err := os.Remove(temp); err != nil && !errors.Is(err, fs.ErrNotExist) { // of a backup that was killed
		return fail(err)
	}
	// VACUUM INTO reads within one transaction (sqlite.org/lang_vacuum.html), and so
	// sees no half of a poll.
	_, err := r.db.ExecContext(ctx, "VACUUM INTO ?", temp)
	if err == nil {
		err = errors.Join(syncFile(temp), os.Rename(temp, to))
	}
	if err != nil {
		return fail(errors.Join(err, removed(temp)))
	}
	return syncFolder(dir)
}

func syncFile(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// removed removes a file that may not be there.
func removed(path string) error {
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}
