package record

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"sync"
)

// Options says where the record is.
type Options struct {
	Dir    string       // made if it is missing
	Site   string       // the site's name, for that of the signing key
	Logger *slog.Logger // nil: silent
	// Working is called now and then while an old record is converted, which may
	// take long, for whoever waits; may be nil.
	Working func()
}

// Record is the record open for writing. All its methods may be called from
// any goroutine.
type Record struct {
	*Reader // over connections of its own: reading never waits for Append

	dir, site string
	working   func()
	log       *slog.Logger
	lock      *os.File

	mu     sync.Mutex // guards all below
	db     *sql.DB
	conn   *sql.Conn
	write  statements
	tail   tail
	key    signingKey // the private one to tail.key, if it is held
	unsure bool       // the last commit failed: tail must be read from the file again
	closed bool
	// Room that sealing uses again.
	packer   packer
	unpacker unpacker
	line     []byte
}

// Open opens the record in o.Dir, making folder and file if they are missing,
// and keeps other writers out until Close or the end of the process.
//
// It fails, leaving what is there as it was, with an *InUseError, *NewerError,
// *NotRecordError or *FolderError.
func Open(ctx context.Context, o Options) (*Record, error) {
	if o.Dir == "" {
		return nil, errors.New("open record: no folder given")
	}
	dir, err := filepath.Abs(o.Dir)
	if err != nil {
		return nil, fmt.Errorf("open record: %w", err)
	}
	if err := os.MkdirAll(dir, 0o750); err != nil {
		return nil, &FolderError{Dir: dir, What: "made", Err: err}
	}
	path := filepath.Join(dir, fileName)
	if err := inspect(ctx, path, 1); err != nil {
		return nil, err
	}
	lock, err := takeLock(dir)
	if err != nil {
		return nil, err
	}
	r := &Record{dir: dir, site: o.Site, working: o.Working, log: o.Logger, lock: lock}
	if r.log == nil {
		r.log = slog.New(slog.DiscardHandler)
	}
	if r.working == nil {
		r.working = func() {}
	}
	if err := r.open(ctx, path); err != nil {
		return nil, errors.Join(err, r.Close())
	}
	r.log.Info("record open", "dir", dir, "entries", r.tail.seq, "offset", r.tail.at, "leaves", r.tail.edge.size)
	return r, nil
}

func (r *Record) open(ctx context.Context, path string) error {
	if err := r.openForWriting(ctx, path); err != nil {
		if code := codeOf(err); code == codeReadOnly || code == codeCantOpen {
			return &FolderError{Dir: r.dir, What: "written to", Err: err}
		}
		return fmt.Errorf("open record %s: %w", r.dir, err)
	}
	var err error
	if r.tail, err = readTail(ctx, r.conn); err != nil {
		return fmt.Errorf("open record %s: %w", r.dir, err)
	}
	if err := r.holdKey(); err != nil {
		return fmt.Errorf("open record %s: %w", r.dir, err)
	}
	return nil
}

func (r *Record) openForWriting(ctx context.Context, path string) error {
	db, err := openFile(path, forWriting)
	if err != nil {
		return err
	}
	r.db = db
	if r.conn, err = db.Conn(ctx); err != nil {
		return err
	}
	if err := r.bringUp(ctx, path); err != nil {
		return err
	}
	if err := makeDurable(ctx, r.conn); err != nil {
		return err
	}
	if err := syncFolder(r.dir); err != nil {
		return err
	}
	if r.write, err = prepare(ctx, r.conn); err != nil {
		return err
	}
	r.Reader, err = newReader(path, forReading)
	return err
}

// makeDurable sets what the promise of Append rests on.
func makeDurable(ctx context.Context, c *sql.Conn) error {
	var mode string
	if err := c.QueryRowContext(ctx, "PRAGMA journal_mode = WAL").Scan(&mode); err != nil {
		return err
	}
	if mode != "wal" {
		return fmt.Errorf("the file system there cannot keep a write-ahead log (SQLite stays in %q mode): give a folder on a local disk", mode)
	}
	// FULL: fsync at every commit. The size limit takes back the room that the
	// log grew to while a long read held it.
	for _, q := range []string{
		"PRAGMA synchronous = FULL",
		"PRAGMA foreign_keys = ON",
		"PRAGMA journal_size_limit = 8388608",
	} {
		if _, err := c.ExecContext(ctx, q); err != nil {
			return err
		}
	}
	return nil
}

// Close ends writing, folds the write-ahead log into the file and lets others
// in. It waits for an Append under way. Closing again does nothing.
func (r *Record) Close() error {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.closed {
		return nil
	}
	r.closed = true
	var errs []error
	// Readers first: the log can be folded in only by the last to leave.
	if r.Reader != nil {
		errs = append(errs, r.Reader.Close())
	}
	errs = append(errs, r.write.close())
	if r.conn != nil {
		errs = append(errs, r.conn.Close())
	}
	if r.db != nil {
		errs = append(errs, r.db.Close())
	}
	errs = append(errs, r.lock.Close())
	if err := errors.Join(errs...); err != nil {
		return fmt.Errorf("close record: %w", err)
	}
	return nil
}
