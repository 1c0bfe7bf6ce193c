package record

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"time"
)

// Reader reads a record, also while a daemon writes to it: it sees every entry
// whose Append has returned, and no half-written poll. Its methods may be
// called from any goroutine.
type Reader struct {
	db        *sql.DB
	unpackers sync.Pool // of *unpacker
}

// OpenReader opens the record in dir for reading. It changes no file; SQLite may
// leave its two side files, empty, beside a record that nobody writes to. It
// fails with a *NewerError, *OlderError or *NotRecordError, or an error that is
// fs.ErrNotExist if there is no record.
func OpenReader(dir string) (*Reader, error) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return nil, fmt.Errorf("open record: %w", err)
	}
	path := filepath.Join(dir, fileName)
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) || err == nil && info.Size() == 0 {
		return nil, fmt.Errorf("there is no record in %s: start the daemon or name the folder that it writes to: %w", dir, fs.ErrNotExist)
	}
	if err := inspect(context.Background(), path, version); err != nil {
		return nil, err
	}
	r, err := newReader(path, forReading)
	if code := codeOf(err); code == codeCantOpen || code == codeReadOnly {
		// A folder where the side files cannot be made: a disk that is mounted
		// read-only, or an auditor without the right to write.
		return newReader(path, forALook(path))
	}
	return r, err
}

func newReader(path, option string) (*Reader, error) {
	db, err := openFile(path, option)
	if err != nil {
		return nil, fmt.Errorf("open record %s: %w", path, err)
	}
	if _, err := db.Exec("SELECT count(*) FROM bath"); err != nil {
		return nil, errors.Join(fmt.Errorf("open record %s: %w", path, err), db.Close())
	}
	return &Reader{db: db, unpackers: sync.Pool{New: func() any { return new(unpacker) }}}, nil
}

// Close ends reading.
func (r *Reader) Close() error { return r.db.Close() }

// bathID returns the number of the bath; ok is false if the record never
// heard of it.
func (r *Reader) bathID(ctx context.Context, name string) (id int64, ok bool, err error) {
	err = r.db.QueryRowContext(ctx, "SELECT id FROM bath WHERE name = ?", name).Scan(&id)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, false, nil
	}
	if err != nil {
		return 0, false, fmt.Errorf("find bath %q: %w", name, err)
	}
	return id, true, nil
}

// End is where a record ends.
type End struct {
	Seq  int64 // number of the last entry, 0 if there is none
	At   time.Duration
	Wall time.Time
	Boot string // the machine's boot at the last restart; empty if there was none
}

// Last returns where the record ends, for offsets to go on from after a restart.
func (r *Reader) Last(ctx context.Context) (End, error) {
	var end End
	var atMS, wallMS int64
	err := r.db.QueryRowContext(ctx, lastSQL).Scan(&end.Seq, &atMS, &wallMS)
	if errors.Is(err, sql.ErrNoRows) {
		return End{}, nil
	}
	if err != nil {
		return End{}, fmt.Errorf("find the end of the record: %w", err)
	}
	end.At, end.Wall = time.Duration(atMS)*Tick, time.UnixMilli(wallMS).UTC()
	restart, ok, err := r.LastOf(ctx, "", KindRestart)
	if err != nil || !ok {
		return end, err
	}
	var b Restart
	if err := restart.Decode(&b); err != nil {
		return end, err
	}
	end.Boot = b.Boot
	return end, nil
}
