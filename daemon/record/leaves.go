package record

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"iter"

	"golang.org/x/mod/sumdb/tlog"
)

// Leaves goes through the leaves numbered from to to, both included, in order;
// to < 0 means to the last. A leaf that was thinned out has no line, only its
// hash. It ends with an error if a leaf is missing or cannot be read.
func (r *Reader) Leaves(ctx context.Context, from, to int64) iter.Seq2[Leaf, error] {
	return func(yield func(Leaf, error) bool) {
		from = max(from, 0)
		for to < 0 || from <= to {
			some, err := r.someLeaves(ctx, from, to)
			for _, l := range some {
				if !yield(l, nil) {
					return
				}
			}
			if err != nil {
				yield(Leaf{}, fmt.Errorf("read leaves from %d: %w", from, err))
				return
			}
			if len(some) == 0 {
				return
			}
			from += int64(len(some))
		}
	}
}

// leafRows is how many leaves are read at a time.
const leafRows = 256

// someLeaves returns the next leaves, none at the end of the tree.
func (r *Reader) someLeaves(ctx context.Context, from, to int64) ([]Leaf, error) {
	tx, err := r.db.BeginTx(ctx, nil)
	if err != nil {
		return nil, err
	}
	defer tx.Rollback()
	var size int64
	if err := tx.QueryRowContext(ctx, "SELECT "+treeSizeSQL).Scan(&size); err != nil {
		return nil, err
	}
	end := min(from+leafRows, size) // the first that is not wanted
	if to >= 0 {
		end = min(end, to+1)
	}
	if from >= end {
		return nil, nil
	}
	leaves := make([]Leaf, end-from)
	for i := range leaves {
		leaves[i].Number = from + int64(i)
	}
	u := r.unpackers.Get().(*unpacker)
	defer r.unpackers.Put(u)
	if err := fillBlocks(ctx, tx, u, leaves); err != nil {
		return nil, err
	}
	if err := fillEntries(ctx, tx, leaves); err != nil {
		return nil, err
	}
	for i, l := range leaves {
		if l.Line == nil && l.thinned == (tlog.Hash{}) {
			return leaves[:i], fmt.Errorf("leaf %d is missing", l.Number)
		}
	}
	return leaves, nil
}

func fillBlocks(ctx context.Context, tx *sql.Tx, u *unpacker, leaves []Leaf) error {
	first := leaves[0].Number
	blocks, err := readBlocks(ctx, tx, "WHERE k.leaf BETWEEN ? AND ?", first, first+int64(len(leaves))-1)
	if err != nil {
		return err
	}
	for _, k := range blocks {
		l := &leaves[k.leaf-first]
		if k.isThinned() {
			if l.thinned, err = readHash(ctx, tx, tlog.StoredHashIndex(0, k.leaf)); err != nil {
				return err
			}
			continue
		}
		line, err := u.lineOf(&k)
		if err != nil {
			return fmt.Errorf("leaf %d: %w", k.leaf, err)
		}
		l.Line = append([]byte{}, line...)
	}
	return nil
}

func fillEntries(ctx context.Context, tx *sql.Tx, leaves []Leaf) error {
	first := leaves[0].Number
	seq, err := seqOfLeaf(ctx, tx, first)
	if err != nil {
		return err
	}
	rows, err := tx.QueryContext(ctx, `SELECT leaf, seq, kind, (SELECT name FROM bath WHERE id = entry.bath), at_ms, wall_ms, body
		FROM entry WHERE seq >= ? ORDER BY seq LIMIT ?`, seq, len(leaves))
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var leaf, atMS, wallMS int64
		var e Entry
		var bath sql.NullString
		var body string
		if err := rows.Scan(&leaf, &e.Seq, &e.Kind, &bath, &atMS, &wallMS, &body); err != nil {
			return err
		}
		if leaf < first || leaf >= first+int64(len(leaves)) {
			break // LIMIT went beyond them: blocks lie between
		}
		e.Bath, e.Body = bath.String, json.RawMessage(body)
		e.At, e.Wall = instants(atMS, wallMS)
		leaves[leaf-first].Line = appendEntryLine(nil, leaf, &e)
	}
	return rows.Err()
}

// seqOfLeaf returns the number of the first entry whose leaf is leaf or a later
// one. It halves, since both rise together.
func seqOfLeaf(ctx context.Context, tx *sql.Tx, leaf int64) (int64, error) {
	var last int64
	if err := tx.QueryRowContext(ctx, "SELECT coalesce(max(seq), 0) FROM entry").Scan(&last); err != nil {
		return 0, err
	}
	before, after := int64(0), last+1
	for after-before > 1 {
		middle := before + (after-before)/2
		var seq, of int64
		err := tx.QueryRowContext(ctx, "SELECT seq, leaf FROM entry WHERE seq >= ? ORDER BY seq LIMIT 1", middle).Scan(&seq, &of)
		switch {
		case err != nil && !errors.Is(err, sql.ErrNoRows):
			return 0, err
		case err == nil && of < leaf:
			before = seq
		default:
			after = middle
		}
	}
	return after, nil
}
