package record

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
)

// statements are prepared once, on the one connection that writes.
type statements struct {
	begin, commit, rollback       *sql.Stmt
	bath, stretch, reading, entry *sql.Stmt
	unread, block, hash           *sql.Stmt
	loose, packed, pack           *sql.Stmt
}

func prepare(ctx context.Context, c *sql.Conn) (s statements, err error) {
	for _, p := range []struct {
		into **sql.Stmt
		text string
	}{
		{&s.begin, "BEGIN IMMEDIATE"},
		{&s.commit, "COMMIT"},
		{&s.rollback, "ROLLBACK"},
		{&s.bath, "INSERT INTO bath (id, name) VALUES (?, ?)"},
		{&s.stretch, "INSERT INTO stretch (first, at_ms, wall_ms) VALUES (?, ?, ?)"},
		{&s.reading, "INSERT INTO reading (seq, bath, at, wall, oil, bath_, room, pressure) VALUES (?, ?, ?, ?, ?, ?, ?, ?)"},
		{&s.entry, "INSERT INTO entry (seq, leaf, at_ms, wall_ms, bath, kind, body) VALUES (?, ?, ?, ?, ?, ?, ?)"},
		{&s.unread, "DELETE FROM reading WHERE bath = ?"},
		{&s.block, "INSERT INTO block (leaf, bath, first, last, count, size, pack, at) VALUES (?, ?, ?, ?, ?, ?, ?, ?)"},
		{&s.loose, "INSERT INTO loose (leaf, data) VALUES (?, ?)"},
		{&s.packed, "DELETE FROM loose WHERE leaf = ?"},
		{&s.pack, "INSERT INTO pack (id, size, data) VALUES (?, ?, ?)"},
		{&s.hash, "INSERT INTO hash (id, hash) VALUES (?, ?)"},
	} {
		if *p.into, err = c.PrepareContext(ctx, p.text); err != nil {
			return s, fmt.Errorf("prepare %q: %w", p.text, err)
		}
	}
	return s, nil
}

func (s statements) close() error {
	var errs []error
	for _, p := range []*sql.Stmt{s.begin, s.commit, s.rollback, s.bath, s.stretch, s.reading, s.entry, s.unread, s.block, s.hash, s.loose, s.packed, s.pack} {
		if p != nil {
			errs = append(errs, p.Close())
		}
	}
	return errors.Join(errs...)
}
