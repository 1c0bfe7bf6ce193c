package verify

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math"
	"time"

	"bainward/daemon/record"
	"bainward/rules"
	"bainward/sensors"
)

// stream goes through the readings of a bath and the entries that its fold needs,
// in the order of their numbers.
type stream struct {
	bath   string
	until  int64 // the first number that is left out
	faults map[string]sensors.Fault

	blocks   *sql.Rows
	inflater inflater
	pack     *packed // that was read last
	block    block
	i        int // of the reading in block
	open     *sql.Rows
	reading  rules.Input
	readSeq  int64 // of reading; MaxInt64: there are no more
	readWall int64 // ms

	entries *sql.Rows
	entry   record.Entry // Seq MaxInt64: there are no more
	// ends is the number from which on nothing can be told, since readings are
	// missing there: they were thinned out, or, with err, cannot be read.
	ends int64
	err  error
}

const (
	bathBlocksSQL = `SELECT k.first, k.size, k.pack, k.at, l.data, p.size, p.data FROM block k
		LEFT JOIN loose l ON l.leaf = k.leaf LEFT JOIN pack p ON p.id = k.pack WHERE k.bath = ?1 AND k.first < ?3
		AND k.first >= coalesce((SELECT max(first) FROM block WHERE bath = ?1 AND first <= ?2), 0) AND k.last >= ?2 ORDER BY k.first`
	bathOpenSQL = openSQL + "WHERE r.bath = ?1 AND r.seq >= ?2 AND r.seq < ?3 ORDER BY r.seq"
	// NOT INDEXED: by number, so that a segment reads no further than it goes. By
	// the index on kinds SQLite would first gather and sort all that is left of a
	// bath, once a batch: hours in ten years of them.
	bathEntriesSQL = `SELECT seq, at_ms, wall_ms, bath IS NULL, kind, body FROM entry NOT INDEXED WHERE seq >= ?2 AND seq < ?3
		AND (bath = ?1 AND kind IN ('event', 'finding', 'alarm', 'command', 'phase', 'batch', 'config', 'correction')
		OR bath IS NULL AND kind = 'restart') ORDER BY seq`
)

// openStream begins at number from.
func openStream(ctx context.Context, conn *sql.Conn, bath string, id, from, until int64) *stream {
	s := &stream{bath: bath, until: until, faults: faultWords(), ends: math.MaxInt64}
	for _, q := range []struct {
		rows **sql.Rows
		text string
	}{{&s.blocks, bathBlocksSQL}, {&s.open, bathOpenSQL}, {&s.entries, bathEntriesSQL}} {
		var err error
		if *q.rows, err = conn.QueryContext(ctx, q.text, id, from, until); err != nil {
			s.stop(0, err)
			return s
		}
	}
	s.nextReading()
	for s.readSeq < from {
		s.nextReading()
	}
	s.nextEntry()
	return s
}

func (s *stream) close() error {
	err := s.err
	for _, rows := range []*sql.Rows{s.blocks, s.open, s.entries} {
		if rows != nil {
			err = errors.Join(err, rows.Err(), rows.Close())
		}
	}
	return err
}

// comes says what is next: a reading, an entry, or nothing.
func (s *stream) comes() what {
	switch {
	case s.readSeq == math.MaxInt64 && s.entry.Seq == math.MaxInt64, min(s.readSeq, s.entry.Seq) >= s.ends:
		return nothing
	case s.readSeq < s.entry.Seq:
		return aReading
	}
	return anEntry
}

func (s *stream) nextReading() {
	s.i++
	for s.i >= len(s.block.seq) {
		if !s.nextBlock() {
			s.nextOpen()
			return
		}
	}
	s.readSeq = s.block.seq[s.i]
	if s.readSeq >= s.until {
		s.readSeq = math.MaxInt64
		return
	}
	at := millis(s.block.at[s.i])
	s.readWall = s.block.at[s.i] + s.block.ahead[s.i]
	s.reading.At, s.reading.Frame.At = at, at
	s.block.frame(s.i, &s.reading.Frame)
}

// nextBlock reads the next block; false if there are no more.
func (s *stream) nextBlock() bool {
	s.block.seq = s.block.seq[:0]
	if !s.blocks.Next() {
		return false
	}
	var b blockRow
	var pack, packSize sql.NullInt64
	var loose, data sql.RawBytes
	if err := s.blocks.Scan(&b.first, &b.size, &pack, &b.at, &loose, &packSize, &data); err != nil {
		s.stop(s.readSeq, err)
		return false
	}
	if !pack.Valid {
		s.stop(b.first, nil) // thinned out
		return false
	}
	if s.pack == nil || s.pack.id != pack.Int64 {
		s.pack = &packed{id: pack.Int64, size: packSize.Int64, data: append([]byte(nil), data...)}
	}
	b.loose, b.packed = loose, s.pack
	line, err := b.line(&s.inflater)
	if err == nil {
		err = s.block.read(line, s.faults)
	}
	if err != nil {
		s.stop(b.first, &unread{fmt.Errorf("a block of readings cannot be read: %w", err)})
		return false
	}
	s.i = 0
	return true
}

// stop lets the stream end before number seq.
func (s *stream) stop(seq int64, err error) { s.ends, s.err = seq, err }

func (s *stream) nextOpen() {
	s.readSeq = math.MaxInt64
	if s.ends < math.MaxInt64 {
		return
	}
	if !s.open.Next() {
		return
	}
	r, err := scanOpen(s.open, s.faults)
	if err != nil {
		s.stop(r.seq, &unread{fmt.Errorf("an open reading cannot be read: %w", err)})
		return
	}
	s.readSeq, s.readWall = r.seq, r.wallMS
	s.reading = rules.OfFrame(r.frame)
	s.reading.At, s.reading.Frame.At = millis(r.atMS), millis(r.atMS)
}

func (s *stream) nextEntry() {
	if !s.entries.Next() {
		s.entry = record.Entry{Seq: math.MaxInt64}
		return
	}
	var atMS, wallMS int64
	var site bool
	e := record.Entry{Bath: s.bath}
	var body []byte
	if err := s.entries.Scan(&e.Seq, &atMS, &wallMS, &site, &e.Kind, &body); err != nil {
		s.stop(s.entry.Seq, fmt.Errorf("read the entries of bath %s: %w", s.bath, err))
		return
	}
	if site {
		e.Bath = ""
	}
	e.At, e.Wall, e.Body = millis(atMS), time.UnixMilli(wallMS).UTC(), body
	s.entry = e
}
