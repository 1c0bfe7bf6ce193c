package record

import (
	"context"
	"errors"
	"fmt"
)

// convert brings a record of format 1, in which every reading was a row and
// there was no tree, to this format, within a transaction: entry by entry, as
// if they were appended again. Numbers, instants and bodies stay as they are.
func (r *Record) convert(ctx context.Context) (err error) {
	r.log.Info("converting the record from format 1, which takes some minutes for a year", "dir", r.dir)
	if _, err := r.conn.ExecContext(ctx, setAside+tables); err != nil {
		return err
	}
	if r.write, err = prepare(ctx, r.conn); err != nil {
		return err
	}
	t, err := readTail(ctx, r.conn)
	if err != nil {
		return err
	}
	for {
		r.working()
		page, err := r.oldPage(ctx, t.seq)
		if err != nil {
			return fmt.Errorf("convert from format 1: %w", err)
		}
		if len(page) == 0 {
			break
		}
		if page[0].Seq != t.seq+1 || page[len(page)-1].Seq != t.seq+int64(len(page)) {
			return fmt.Errorf("convert from format 1: a number is missing after entry %d: verify a copy of the record with the program that wrote it", t.seq)
		}
		if err := r.put(ctx, &t, page); err != nil {
			return fmt.Errorf("convert from format 1: %w", err)
		}
	}
	_, err = r.conn.ExecContext(ctx, takeAway+views)
	// They were prepared on tables that stay, but within this transaction.
	err = errors.Join(err, r.write.close())
	r.write = statements{}
	r.log.Info("converted the record", "entries", t.seq, "leaves", t.edge.size)
	return err
}

// oldPage returns the next entries after a number.
func (r *Record) oldPage(ctx context.Context, after int64) ([]Entry, error) {
	rows, err := r.conn.QueryContext(ctx, oldSQL, after, oldPageSize)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	page := make([]Entry, 0, oldPageSize)
	for rows.Next() {
		e, err := scan(rows)
		if err != nil {
			return nil, err
		}
		page = append(page, e)
	}
	return page, rows.Err()
}

const oldPageSize = 4096

const (
	// The table of baths stays as it is.
	setAside = `
DROP VIEW temperature;
DROP VIEW log;
DROP INDEX entry_of;
ALTER TABLE stretch RENAME TO old_stretch;
ALTER TABLE reading RENAME TO old_reading;
ALTER TABLE entry RENAME TO old_entry;
`
	takeAway = `
DROP TABLE old_stretch;
DROP TABLE old_reading;
DROP TABLE old_entry;
`
	oldSQL = `
SELECT r.seq, 'reading', (SELECT name FROM bath WHERE id = r.bath), s.at_ms + r.at, s.wall_ms + r.at + r.wall, r.oil, r.bath_, r.room, r.pressure, NULL
FROM old_reading r CROSS JOIN old_stretch s ON s.first = (SELECT max(first) FROM old_stretch WHERE first <= r.seq)
WHERE r.seq > ?1
UNION ALL
SELECT seq, kind, (SELECT name FROM bath WHERE id = old_entry.bath), at_ms, wall_ms, NULL, NULL, NULL, NULL, body
FROM old_entry WHERE seq > ?1
ORDER BY 1 LIMIT ?2`
)
