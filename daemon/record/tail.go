package record

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"maps"
	"time"
)

// tail is where the record ends: what the next entry goes on from.
type tail struct {
	seq     int64
	at      time.Duration
	stretch stretch
	baths   map[string]int64  // numbers of the baths, by name
	open    map[int64][]Entry // readings that are in no block, by number of bath
	edge    edge              // of the tree
	key     string            // the last public key that was recorded; empty: none
	next    signingKey        // the private key to it while it waits to be kept
}

// clone returns a tail that can be changed without changing t. (Open readings
// are only ever added behind those that t knows.)
func (t tail) clone() tail {
	t.baths, t.open = maps.Clone(t.baths), maps.Clone(t.open)
	return t
}

// stretch is the start of a run of readings, from which their instants are
// counted. A stretch without a first reading is none.
type stretch struct {
	first        int64
	atMS, wallMS int64
}

// Limits of a reading's distance from the start of its stretch: what SQLite
// keeps in three and in two bytes (sqlite.org/fileformat2.html, 2.1).
const (
	maxAt   = 1<<23 - 1 // ms, about two hours and twenty minutes
	maxWall = 1<<15 - 1 // ms either way; a clock that is set leaps further
)

// offsets returns how far from the start of s an instant lies, and whether
// that is near enough for a reading to belong to s.
func (s stretch) offsets(atMS, wallMS int64) (at, wall int64, ok bool) {
	at = atMS - s.atMS
	wall = wallMS - s.wallMS - at
	return at, wall, s.first != 0 && at <= maxAt && wall >= -maxWall && wall <= maxWall
}

// readTail finds where the record in the file ends.
func readTail(ctx context.Context, c *sql.Conn) (tail, error) {
	t := tail{baths: map[string]int64{}, open: map[int64][]Entry{}}
	var atMS int64
	err := c.QueryRowContext(ctx, lastSQL).Scan(&t.seq, &atMS, new(int64))
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return t, fmt.Errorf("find the end of the record: %w", err)
	}
	t.at = time.Duration(atMS) * Tick
	s := &t.stretch
	err = c.QueryRowContext(ctx, "SELECT first, at_ms, wall_ms FROM stretch ORDER BY first DESC LIMIT 1").Scan(&s.first, &s.atMS, &s.wallMS)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return t, fmt.Errorf("find the last stretch of the record: %w", err)
	}
	if err := t.readBaths(ctx, c); err != nil {
		return t, fmt.Errorf("read the baths of the record: %w", err)
	}
	if t.edge, err = readEdge(ctx, c); err != nil {
		return t, err
	}
	t.key, err = readKey(ctx, c)
	return t, err
}

// readBaths reads the numbers of the baths, and the readings that are open.
func (t *tail) readBaths(ctx context.Context, c *sql.Conn) error {
	rows, err := c.QueryContext(ctx, "SELECT id, name FROM bath")
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var id int64
		var name string
		if err := rows.Scan(&id, &name); err != nil {
			return err
		}
		t.baths[name] = id
	}
	if err := rows.Err(); err != nil {
		return err
	}
	open, err := c.QueryContext(ctx, readingSQL+"ORDER BY r.seq")
	if err != nil {
		return err
	}
	defer open.Close()
	for open.Next() {
		e, err := scan(open)
		if err != nil {
			return err
		}
		id := t.baths[e.Bath]
		t.open[id] = append(t.open[id], e)
	}
	return open.Err()
}

// lastSQL finds the number, offset and wall time of the last entry.
const lastSQL = `
SELECT * FROM (
  SELECT r.seq, s.at_ms + r.at, s.wall_ms + r.at + r.wall
  FROM reading r CROSS JOIN stretch s ON s.first = (SELECT max(first) FROM stretch WHERE first <= r.seq)
  ORDER BY r.seq DESC LIMIT 1)
UNION ALL
SELECT * FROM (SELECT seq, at_ms, wall_ms FROM entry ORDER BY seq DESC LIMIT 1)
ORDER BY 1 DESC LIMIT 1`
