package record

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"

	"modernc.org/sqlite"
)

const fileName = "record.db"

// Result codes of SQLite that this package acts on (sqlite.org/rescode.html).
const (
	codeBusy     = 5
	codeReadOnly = 8
	codeIOErr    = 10
	codeFull     = 13
	codeCantOpen = 14
	codeNotADB   = 26
)

// codeOf returns the primary result code of an error from SQLite, else 0.
func codeOf(err error) int {
	var e *sqlite.Error
	if errors.As(err, &e) {
		return e.Code() & 0xFF
	}
	return 0
}

// openFile prepares connections to the database at path, which is absolute.
// The file is first touched when a connection is used.
func openFile(path, option string) (*sql.DB, error) {
	uri := url.URL{Scheme: "file", Path: path, RawQuery: option + "&_pragma=busy_timeout(10000)"}
	return sql.Open("sqlite", uri.String())
}

// Options of a connection.
const (
	forWriting = "mode=rwc"
	forReading = "mode=ro"
	// asImmutable reads without a lock and without the side files that SQLite
	// else puts beside a record. Right only while nobody writes.
	asImmutable = "mode=ro&immutable=1"
)

// forALook returns the option under which a short look changes nothing on disk.
// A record that was closed in good order has no write-ahead log beside it.
func forALook(path string) string {
	wal, err := os.Stat(path + "-wal")
	if errors.Is(err, fs.ErrNotExist) || err == nil && wal.Size() == 0 {
		return asImmutable
	}
	return forReading
}

// inspect tells whether a record of version oldest at least, or nothing yet, is
// at path, without changing anything. It asks SQLite rather than reading the header itself: closing a
// file drops every POSIX lock that the process holds on it, SQLite's too
// (sqlite.org/howtocorrupt.html, 2.2).
func inspect(ctx context.Context, path string, oldest int) error {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return fmt.Errorf("look at record: %w", err)
	case info.IsDir():
		return &NotRecordError{Path: path, What: "a folder"}
	case info.Size() == 0:
		return nil // SQLite made it and was stopped before the first commit
	}
	if _, err := os.Stat(path + "-journal"); err == nil {
		// SQLite was stopped within the first commit, before there was a
		// write-ahead log. It will undo that when it opens the file for
		// writing, after which bringUp looks at the marks.
		return nil
	}
	db, err := openFile(path, forALook(path))
	if err != nil {
		return fmt.Errorf("look at record %s: %w", path, err)
	}
	defer db.Close()
	have, err := formatOf(ctx, db, path)
	if err == nil && have > 0 && have < oldest {
		err = &OlderError{Dir: filepath.Dir(path), Have: have, Known: version}
	}
	return err
}

// querier is a *sql.DB, a *sql.Conn or a *sql.Tx.
type querier interface {
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
}

// formatOf returns the version of the record's format, 0 for an empty file, or
// the reason why the file cannot be used.
func formatOf(ctx context.Context, q querier, path string) (int, error) {
	var id, have, tables int
	err := q.QueryRowContext(ctx, `SELECT a.application_id, v.user_version, (SELECT count(*) FROM sqlite_schema)
		FROM pragma_application_id a, pragma_user_version v`).Scan(&id, &have, &tables)
	switch {
	case codeOf(err) == codeNotADB:
		return 0, &NotRecordError{Path: path, What: "a file of another kind"}
	case err != nil:
		return 0, fmt.Errorf("read record %s: %w", path, err)
	case id == 0 && have == 0 && tables == 0:
		return 0, nil
	case id != applicationID:
		return 0, &NotRecordError{Path: path, What: "a database of another program"}
	case have > version:
		return 0, &NewerError{Dir: filepath.Dir(path), Have: have, Known: version}
	}
	return have, nil
}

// bringUp makes an empty file a record, and an older record one of this
// version, in one transaction. It always begins a write, so that a file that
// cannot be written is found out now and not at the first poll.
func (r *Record) bringUp(ctx context.Context, path string) error {
	if _, err := r.conn.ExecContext(ctx, "BEGIN IMMEDIATE"); err != nil {
		return err
	}
	err := func() error {
		have, err := formatOf(ctx, r.conn, path)
		if err != nil {
			return err
		}
		switch have {
		case version:
			return nil
		case 0:
			_, err = r.conn.ExecContext(ctx, layout)
		default: // 1: a newer one was refused
			err = r.convert(ctx)
		}
		if err != nil {
			return err
		}
		marks := fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = %d", applicationID, version)
		_, err = r.conn.ExecContext(ctx, marks)
		return err
	}()
	if err == nil {
		_, err = r.conn.ExecContext(ctx, "COMMIT")
	}
	if err != nil {
		// The error that matters is already there.
		_, _ = r.conn.ExecContext(context.WithoutCancel(ctx), "ROLLBACK")
	}
	return err
}

// syncFolder makes the names in dir, and dir's own in its parent, durable.
func syncFolder(dir string) error {
	for _, d := range []string{dir, filepath.Dir(dir)} {
		f, err := os.Open(d)
		if err != nil {
			return err
		}
		err = f.Sync()
		f.Close()
		if err != nil {
			return err
		}
	}
	return nil
}
