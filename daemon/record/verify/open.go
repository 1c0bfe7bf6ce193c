package verify

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"syscall"

	_ "modernc.org/sqlite" // the driver
)

const (
	fileName = "record.db"
	lockName = "lock"
)

// opened is a record that can be read and does not change meanwhile.
type opened struct {
	db   *sql.DB
	path string // as it was given
	dir  string // of the private copy; empty: there is none
}

func (o *opened) close() error {
	err := o.db.Close()
	if o.dir != "" {
		err = errors.Join(err, os.RemoveAll(o.dir))
	}
	return err
}

// open opens the record at path, a folder or its file, without changing anything
// there. A record that was closed in good order is read where it lies. Beside
// one that was not, or is in use, lies a log that SQLite would work into the file
// as it reads, so a private copy is read instead.
func open(ctx context.Context, path string) (*opened, error) {
	info, err := os.Stat(path)
	if err == nil && info.IsDir() {
		path = filepath.Join(path, fileName)
		info, err = os.Stat(path)
	}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("there is no record at %s: name the folder that holds %s, or the file itself: %w", path, fileName, fs.ErrNotExist)
	case errors.Is(err, fs.ErrPermission):
		return nil, fmt.Errorf("this user may not read %s: take a copy as one who may, or run this as the user of the daemon: %w", path, err)
	case err != nil:
		return nil, fmt.Errorf("look for a record: %w", err)
	case info.IsDir():
		return nil, fmt.Errorf("%s is a folder, not a record", path)
	case info.Size() == 0:
		return nil, fmt.Errorf("%s is empty: nothing was ever recorded there", path)
	}
	if path, err = filepath.Abs(path); err != nil {
		return nil, fmt.Errorf("open record: %w", err)
	}
	o := &opened{path: path}
	name, options := path, "mode=ro&immutable=1"
	if !atRest(path) {
		if o.dir, name, err = copyAside(ctx, path); err != nil {
			return nil, err
		}
		options = "mode=rw"
	}
	uri := url.URL{Scheme: "file", Path: name, RawQuery: options + "&_pragma=busy_timeout(1000)"}
	if o.db, err = sql.Open("sqlite", uri.String()); err != nil {
		return nil, errors.Join(fmt.Errorf("open record %s: %w", path, err), os.RemoveAll(o.dir))
	}
	return o, nil
}

// atRest reports whether nothing but the file itself belongs to the record and
// nobody writes to it.
func atRest(path string) bool {
	for _, side := range sides() {
		if info, err := os.Stat(path + side); err == nil && info.Size() > 0 {
			return false
		}
	}
	return !held(filepath.Join(filepath.Dir(path), lockName))
}

// sides are the endings of what SQLite puts beside a file and is needed with it.
// (-shm is not: SQLite makes it anew.)
func sides() []string { return []string{"-wal", "-journal"} }

// held reports whether a daemon holds the lock of a record's folder.
func held(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	return errors.Is(syscall.Flock(int(f.Fd()), syscall.LOCK_SH|syscall.LOCK_NB), syscall.EWOULDBLOCK)
}
