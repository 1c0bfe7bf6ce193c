package record

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"math"
	"time"
)

// Readings lie in blocks, bath by bath, and the newest of them one by one;
// everything else lies in entry. A page is the next stretch of the log from all
// of these, read within one transaction, so that readings which are sealed
// meanwhile are seen exactly once; and no longer, so that a slow reader does not
// keep the write-ahead log from being folded into the file.
type page struct {
	cursors []cursor
	// thinned are blocks whose readings were thinned out; the numbers that are
	// missing lie in them.
	thinned []span
	// end is the last number that the page is sure to have seen all sources up
	// to; math.MaxInt64 if it came to the end of them.
	end int64
	// leaf holds what next gave last, if that came from a block; else it is −1.
	leaf int64
}

// span is a run of numbers, both included.
type span struct{ first, last int64 }

// cursor is one source of a page: entries in order, or blocks that become such.
type cursor struct {
	entries []Entry
	at      int
	blocks  []packedBlock
	bath    string
	leaf    int64 // of entries that come from a block, else −1
}

// packedBlock is a row of the table block.
type packedBlock struct {
	span
	leaf, size int64
	pack       *pack  // that holds its line; nil: thinned
	at         int64  // where in the pack's text its line begins
	data       []byte // the line, packed by itself, while it is loose
}

func (k *packedBlock) isThinned() bool { return k.pack == nil }

// selection is what a page is made of: one bath and the site, or everything.
type selection struct {
	bath  string
	every bool
	from  int64
	to    int64
	// How much of each source a page takes in: blocks of all baths together,
	// and rows.
	blocks, rows int
}

// Bounds of a page. A block is mostly a minute of one bath.
const (
	pageBlocks = 160
	pageRows   = 512
)

// readPage reads the page that begins at s.from.
func (r *Reader) readPage(ctx context.Context, s selection) (*page, error) {
	tx, err := r.db.BeginTx(ctx, nil)
	if err != nil {
		return nil, err
	}
	defer tx.Rollback()
	baths, err := bathsOf(ctx, tx, s)
	if err != nil {
		return nil, err
	}
	p := &page{end: math.MaxInt64}
	id := any(nil) // of the one bath; nil for all
	if !s.every {
		id = int64(-1) // no bath: numbers count from 0
	}
	for _, b := range baths {
		if !s.every {
			id = b.id
		}
		if err := p.takeBlocks(ctx, tx, b, s, max(2, s.blocks/len(baths))); err != nil {
			return nil, err
		}
	}
	for _, query := range []string{openSQL, entriesSQL} {
		if err := p.takeRows(ctx, tx, query, id, s); err != nil {
			return nil, err
		}
	}
	return p, nil
}

type numberedBath struct {
	id   int64
	name string
}

func bathsOf(ctx context.Context, tx *sql.Tx, s selection) (baths []numberedBath, err error) {
	rows, err := tx.QueryContext(ctx, "SELECT id, name FROM bath WHERE ?1 OR name = ?2 ORDER BY id", s.every, s.bath)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var b numberedBath
		if err := rows.Scan(&b.id, &b.name); err != nil {
			return nil, err
		}
		baths = append(baths, b)
	}
	return baths, rows.Err()
}

// takeBlocks takes in the blocks of one bath, packed as they are.
func (p *page) takeBlocks(ctx context.Context, tx *sql.Tx, b numberedBath, s selection, limit int) error {
	blocks, err := readBlocks(ctx, tx, blocksFromSQL, b.id, s.from, s.to, limit)
	if err != nil {
		return err
	}
	c := cursor{bath: b.name, leaf: -1}
	for n, k := range blocks {
		if n == limit-1 {
			p.end = min(p.end, k.last)
		}
		switch {
		case k.last < s.from: // the one before: the number lies behind it
		case k.isThinned():
			p.thinned = append(p.thinned, k.span)
		default:
			c.blocks = append(c.blocks, k)
		}
	}
	if len(c.blocks) > 0 {
		p.cursors = append(p.cursors, c)
	}
	return nil
}

// takeRows takes in what is not in blocks.
func (p *page) takeRows(ctx context.Context, tx *sql.Tx, query string, bath any, s selection) error {
	rows, err := tx.QueryContext(ctx, query, s.from, min(s.to, p.end), s.rows, bath)
	if err != nil {
		return err
	}
	defer rows.Close()
	c := cursor{leaf: -1}
	for rows.Next() {
		e, err := scan(rows)
		if err != nil {
			return err
		}
		c.entries = append(c.entries, e)
	}
	if n := len(c.entries); n > 0 {
		p.cursors = append(p.cursors, c)
		if n == s.rows {
			p.end = min(p.end, c.entries[n-1].Seq)
		}
	}
	return rows.Err()
}

// next returns the page's next entry in order, nil after the last. It is good
// until the next call.
func (p *page) next(u *unpacker, from int64) (*Entry, error) {
	var first *cursor
	for i := range p.cursors {
		c := &p.cursors[i]
		for c.at == len(c.entries) && len(c.blocks) > 0 || c.at < len(c.entries) && c.entries[c.at].Seq < from {
			if c.at < len(c.entries) {
				c.at++
				continue
			}
			if err := c.open(u); err != nil {
				return nil, err
			}
		}
		if c.at < len(c.entries) && (first == nil || c.entries[c.at].Seq < first.entries[first.at].Seq) {
			first = c
		}
	}
	if first == nil || first.entries[first.at].Seq > p.end {
		return nil, nil
	}
	first.at++
	p.leaf = first.leaf
	return &first.entries[first.at-1], nil
}

// open unpacks the next block of a cursor.
func (c *cursor) open(u *unpacker) error {
	k := c.blocks[0]
	c.blocks, c.at = c.blocks[1:], 0
	line, err := u.lineOf(&k)
	if err != nil {
		return fmt.Errorf("read leaf %d: %w", k.leaf, err)
	}
	leaf, readings, err := readBlockLine(line, c.entries[:0])
	if err != nil {
		return fmt.Errorf("read leaf %d: %w", k.leaf, err)
	}
	c.entries, c.leaf = readings, k.leaf
	if first, last := readings[0].Seq, readings[len(readings)-1].Seq; leaf != k.leaf || readings[0].Bath != c.bath || first != k.first || last != k.last {
		return fmt.Errorf("read leaf %d: entries %d to %d of %s are filed there; its line is leaf %d, entries %d to %d of %s",
			k.leaf, k.first, k.last, c.bath, leaf, first, last, readings[0].Bath)
	}
	return nil
}

// until returns the last number that the page has no entry of before e, or at its
// end if e is nil.
func (p *page) until(e *Entry) int64 {
	if e == nil {
		return p.end
	}
	return e.Seq - 1
}

// isThinned reports whether an entry may be missing because it was thinned out.
func (p *page) isThinned(seq int64) bool {
	for _, s := range p.thinned {
		if s.first <= seq && seq <= s.last {
			return true
		}
	}
	return false
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
	e.At, e.Wall = instants(atMS, wallMS)
	e.Bath = bath.String
	if e.Kind != KindReading {
		e.Body = json.RawMessage(body.String)
		return e, nil
	}
	e.Frame.At, e.Frame.Wall = e.At, e.Wall
	if err := c.probes(&e.Frame); err != nil {
		return e, fmt.Errorf("read entry %d: %w", e.Seq, err)
	}
	return e, nil
}

// instants returns an entry's offset and wall time from how they are kept.
func instants(atMS, wallMS int64) (time.Duration, time.Time) {
	return time.Duration(atMS) * Tick, time.UnixMilli(wallMS).UTC()
}

// Open readings and entries come in the same columns. CROSS JOIN keeps SQLite
// from starting at the stretches, which would lose the order of the readings.
const (
	readingSQL = `
SELECT r.seq, 'reading', (SELECT name FROM bath WHERE id = r.bath), s.at_ms + r.at, s.wall_ms + r.at + r.wall, r.oil, r.bath_, r.room, r.pressure, NULL
FROM reading r CROSS JOIN stretch s ON s.first = (SELECT max(first) FROM stretch WHERE first <= r.seq) `
	entrySQL = `
SELECT seq, kind, (SELECT name FROM bath WHERE id = entry.bath), at_ms, wall_ms, NULL, NULL, NULL, NULL, body
FROM entry `
	openSQL    = readingSQL + "WHERE r.seq BETWEEN ?1 AND ?2 AND (?4 IS NULL OR r.bath = ?4) ORDER BY r.seq LIMIT ?3"
	entriesSQL = entrySQL + "WHERE seq BETWEEN ?1 AND ?2 AND (?4 IS NULL OR bath = ?4 OR bath IS NULL) ORDER BY seq LIMIT ?3"
	// From the block in which a number may lie.
	blocksFromSQL = `
WHERE k.bath = ?1 AND k.first >= coalesce((SELECT max(first) FROM block WHERE bath = ?1 AND first <= ?2), ?2) AND k.first <= ?3
ORDER BY k.first LIMIT ?4`
)
