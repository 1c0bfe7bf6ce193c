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
	ctx    context.Context
	conn   *sql.Conn
	bath   string
	id     int64
	until  int64 // the first number that is left out
	faults map[string]sensors.Fault

	blocks   *sql.Rows
	inflater inflater
	block    block
	i        int // of the reading in block
	open     *sql.Rows
	reading  rules.Input
	readSeq  int64 // of reading; MaxInt64: there are no more
	readWall int64 // ms

	entries *sql.Rows
	entry   record.Entry // Seq MaxInt64: there are no more
	err     error
}

const (
	bathBlocksSQL = `SELECT size, data FROM block WHERE bath = ?1 AND first < ?3
		AND first >= coalesce((SELECT max(first) FROM block WHERE bath = ?1 AND first <= ?2), 0) ORDER BY first`
	bathEntriesSQL = `SELECT seq, at_ms, wall_ms, bath IS NULL, kind, body FROM entry WHERE seq >= ?2 AND seq < ?3
		AND (bath = ?1 AND kind IN ('event', 'finding', 'alarm', 'command', 'phase', 'batch', 'config', 'correction')
		OR bath IS NULL AND kind = 'restart') ORDER BY seq`
)

// openStream begins at number from.
func openStream(ctx context.Context, conn *sql.Conn, bath string, id, from, until int64) *stream {
	s := &stream{ctx: ctx, conn: conn, bath: bath, id: id, until: until, faults: faultWords()}
	if s.blocks, s.err = conn.QueryContext(ctx, bathBlocksSQL, id, from, until); s.err != nil {
		return s
	}
	if s.open, s.err = conn.QueryContext(ctx, openSQL+"WHERE r.bath = ? AND r.seq >= ? AND r.seq < ? ORDER BY r.seq", id, from, until); s.err != nil {
		return s
	}
	if s.entries, s.err = conn.QueryContext(ctx, bathEntriesSQL, id, from, until); s.err != nil {
		return s
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
	case s.err != nil || s.readSeq == math.MaxInt64 && s.entry.Seq == math.MaxInt64:
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
			if s.err == nil {
				s.nextOpen()
			}
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
	for s.blocks.Next() {
		var size int64
		var data sql.RawBytes
		if s.err = s.blocks.Scan(&size, &data); s.err != nil {
			return false
		}
		line, err := s.inflater.line(data, size)
		if err == nil {
			err = s.block.read(line, s.faults)
		}
		if err != nil {
			s.err = &unread{fmt.Errorf("a block of readings cannot be read: %w", err)}
			return false
		}
		s.i = 0
		return true
	}
	s.block.seq = s.block.seq[:0]
	return false
}

func (s *stream) nextOpen() {
	s.readSeq = math.MaxInt64
	for s.open.Next() {
		r, err := scanOpen(s.open, s.faults)
		if err != nil {
			s.err = &unread{fmt.Errorf("an open reading cannot be read: %w", err)}
			return
		}
		s.readSeq, s.readWall = r.seq, r.wallMS
		s.reading = rules.OfFrame(r.frame)
		s.reading.At, s.reading.Frame.At = millis(r.atMS), millis(r.atMS)
		return
	}
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
	if s.err = s.entries.Scan(&e.Seq, &atMS, &wallMS, &site, &e.Kind, &body); s.err != nil {
		s.err = fmt.Errorf("read the entries of bath %s: %w", s.bath, s.err)
		return
	}
	if site {
		e.Bath = ""
	}
	e.At, e.Wall, e.Body = millis(atMS), time.UnixMilli(wallMS).UTC(), body
	s.entry = e
}
