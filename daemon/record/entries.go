package record

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"iter"
	"math"
	"time"

	"bainward/sensors"
)

// pageSize is how many entries are read at a time. Between pages no query is
// open, so that a slow reader does not keep the write-ahead log from being
// folded into the file.
const pageSize = 512

// Entries goes through the entries numbered from to to, both included, in
// order; to ≤ 0 means to the last. It ends with an error if the record cannot
// be read or if a number is missing.
func (r *Reader) Entries(ctx context.Context, from, to int64) iter.Seq2[Entry, error] {
	return func(yield func(Entry, error) bool) {
		next := max(from, 1)
		for e, err := range r.pages(ctx, everySQL, nil, next, to) {
			if err == nil && e.Seq != next {
				err = fmt.Errorf("the record has a hole: entry %d is followed by entry %d", next-1, e.Seq)
			}
			if !yield(e, err) || err != nil {
				return
			}
			next++
		}
	}
}

// ofBath goes through the entries of one bath and of the site, in order.
func (r *Reader) ofBath(ctx context.Context, bath string, from, to int64) iter.Seq2[Entry, error] {
	return func(yield func(Entry, error) bool) {
		id, ok, err := r.bathID(ctx, bath)
		if err != nil {
			yield(Entry{}, err)
			return
		}
		if !ok {
			id = -1 // numbers of baths count from 0: only the site's entries
		}
		r.pages(ctx, bathSQL, id, from, to)(yield)
	}
}

// pages runs query, one of those below, page by page.
func (r *Reader) pages(ctx context.Context, query string, bath any, from, to int64) iter.Seq2[Entry, error] {
	if to <= 0 {
		to = math.MaxInt64
	}
	return func(yield func(Entry, error) bool) {
		page := make([]Entry, 0, pageSize)
		for {
			var err error
			page, err = r.page(ctx, page[:0], query, from, to, bath)
			for _, e := range page {
				if !yield(e, nil) {
					return
				}
			}
			if err != nil {
				yield(Entry{}, err)
				return
			}
			if len(page) < pageSize {
				return
			}
			from = page[len(page)-1].Seq + 1
		}
	}
}

func (r *Reader) page(ctx context.Context, page []Entry, query string, from, to int64, bath any) ([]Entry, error) {
	rows, err := r.db.QueryContext(ctx, query, from, to, pageSize, bath)
	if err != nil {
		return page, fmt.Errorf("read record from entry %d: %w", from, err)
	}
	defer rows.Close()
	for rows.Next() {
		e, err := scan(rows)
		if err != nil {
			return page, err
		}
		page = append(page, e)
	}
	if err := rows.Err(); err != nil {
		return page, fmt.Errorf("read record from entry %d: %w", from, err)
	}
	return page, nil
}

// scan reads one row of the queries below.
func scan(row interface{ Scan(...any) error }) (Entry, error) {
	var e Entry
	var atMS, wallMS int64
	var c columns
	var bath, body sql.NullString
	err := row.Scan(&e.Seq, &e.Kind, &bath, &atMS, &wallMS, &c[0], &c[1], &c[2], &c[3], &body)
	if err != nil {
		return e, fmt.Errorf("read record: %w", err)
	}
	e.At, e.Wall, e.Bath = time.Duration(atMS)*Tick, time.UnixMilli(wallMS).UTC(), bath.String
	if e.Kind != KindReading {
		e.Body = json.RawMessage(body.String)
		return e, nil
	}
	e.Frame = sensors.Frame{At: e.At, Wall: e.Wall}
	if err := c.probes(&e.Frame); err != nil {
		return e, fmt.Errorf("read entry %d: %w", e.Seq, err)
	}
	return e, nil
}

// The two halves of the log, in the same columns. CROSS JOIN keeps SQLite from
// starting at the stretches, which would lose the order of the readings.
const (
	readingSQL = `
SELECT r.seq, 'reading', (SELECT name FROM bath WHERE id = r.bath), s.at_ms + r.at, s.wall_ms + r.at + r.wall, r.oil, r.bath_, r.room, r.pressure, NULL
FROM reading r CROSS JOIN stretch s ON s.first = (SELECT max(first) FROM stretch WHERE first <= r.seq) `
	entrySQL = `
SELECT seq, kind, (SELECT name FROM bath WHERE id = entry.bath), at_ms, wall_ms, NULL, NULL, NULL, NULL, body
FROM entry `
	everySQL = readingSQL + "WHERE r.seq BETWEEN ?1 AND ?2 AND ?4 IS NULL UNION ALL " +
		entrySQL + "WHERE seq BETWEEN ?1 AND ?2 ORDER BY 1 LIMIT ?3"
	bathSQL = readingSQL + "WHERE r.seq BETWEEN ?1 AND ?2 AND r.bath = ?4 UNION ALL " +
		entrySQL + "WHERE seq BETWEEN ?1 AND ?2 AND (bath = ?4 OR bath IS NULL) ORDER BY 1 LIMIT ?3"
)
