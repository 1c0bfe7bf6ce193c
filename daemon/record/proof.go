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

// TreeSize returns how many leaves the record's tree has.
func (r *Reader) TreeSize(ctx context.Context) (int64, error) {
	var size int64
	if err := r.db.QueryRowContext(ctx, "SELECT "+treeSizeSQL).Scan(&size); err != nil {
		return 0, fmt.Errorf("find the end of the record's tree: %w", err)
	}
	return size, nil
}

const treeSizeSQL = `max(
  coalesce((SELECT max(leaf) FROM block), -1),
  coalesce((SELECT leaf FROM entry ORDER BY seq DESC LIMIT 1), -1)) + 1`

// Root returns the root of the tree over the first size leaves.
func (r *Reader) Root(ctx context.Context, size int64) (tlog.Hash, error) {
	if err := r.within(ctx, 0, size); err != nil {
		return tlog.Hash{}, fmt.Errorf("root of the tree: %w", err)
	}
	return tlog.TreeHash(size, r.hashes(ctx))
}

// Inclusion returns the proof that a leaf is one of the first size leaves: what
// tlog.CheckRecord takes (RFC 6962, 2.1.1).
func (r *Reader) Inclusion(ctx context.Context, leaf, size int64) ([]tlog.Hash, error) {
	if err := r.within(ctx, leaf+1, size); err != nil {
		return nil, fmt.Errorf("prove that leaf %d is in the tree: %w", leaf, err)
	}
	return tlog.ProveRecord(size, leaf, r.hashes(ctx))
}

// Consistency returns the proof that the tree over the first from leaves is the
// beginning of that over the first to: what tlog.CheckTree takes (RFC 6962, 2.1.2).
// Every tree begins with the empty one, of which there is nothing to prove.
func (r *Reader) Consistency(ctx context.Context, from, to int64) ([]tlog.Hash, error) {
	if err := r.within(ctx, from, to); err != nil || from == 0 {
		return nil, err
	}
	return tlog.ProveTree(to, from, r.hashes(ctx))
}

// within checks that 0 ≤ part ≤ size ≤ the size of the tree.
func (r *Reader) within(ctx context.Context, part, size int64) error {
	have, err := r.TreeSize(ctx)
	if err != nil {
		return err
	}
	if part < 0 || part > size || size > have {
		return fmt.Errorf("%d of the first %d leaves were asked for, the record has %d", part, size, have)
	}
	return nil
}

// hashes gives tlog the hashes of the tree.
func (r *Reader) hashes(ctx context.Context) tlog.HashReaderFunc {
	return func(indexes []int64) ([]tlog.Hash, error) {
		hashes := make([]tlog.Hash, len(indexes))
		for i, index := range indexes {
			level, n := tlog.SplitStoredHashIndex(index)
			var err error
			if hashes[i], err = readNode(ctx, r.db, level, n); err != nil {
				return nil, err
			}
		}
		return hashes, nil
	}
}

// LeafOf returns the number of the leaf that holds an entry or a reading; sealed
// is false of a reading that is in no block yet.
func (r *Reader) LeafOf(ctx context.Context, seq int64) (leaf int64, sealed bool, err error) {
	err = r.db.QueryRowContext(ctx, "SELECT leaf FROM entry WHERE seq = ?", seq).Scan(&leaf)
	if err == nil || !errors.Is(err, sql.ErrNoRows) {
		return leaf, err == nil, err
	}
	s := selection{every: true, from: seq, to: seq, blocks: pageBlocks, rows: 1}
	p, err := r.readPage(ctx, s)
	if err != nil {
		return 0, false, fmt.Errorf("find the leaf of entry %d: %w", seq, err)
	}
	u := r.unpackers.Get().(*unpacker)
	defer r.unpackers.Put(u)
	e, err := p.next(u, seq)
	switch {
	case err != nil:
		return 0, false, err
	case p.isThinned(seq) && (e == nil || e.Seq != seq):
		return 0, false, fmt.Errorf("find the leaf of entry %d: it was thinned out", seq)
	case e == nil || e.Seq != seq:
		return 0, false, fmt.Errorf("find the leaf of entry %d: it is not in the record", seq)
	}
	return p.leaf, p.leaf >= 0, nil
}

// CheckpointEntry is a checkpoint with where it stands.
type CheckpointEntry struct {
	Entry Entry
	Leaf  int64 // its own number, which is how many leaves it covers
	Checkpoint
	Head TreeHead
}

// Checkpoints goes through the checkpoints of the record, in order.
func (r *Reader) Checkpoints(ctx context.Context) iter.Seq2[CheckpointEntry, error] {
	return func(yield func(CheckpointEntry, error) bool) {
		after := int64(0)
		for {
			some, err := r.someCheckpoints(ctx, after)
			for _, c := range some {
				if !yield(c, nil) {
					return
				}
				after = c.Entry.Seq
			}
			if err != nil {
				yield(CheckpointEntry{}, fmt.Errorf("read checkpoints: %w", err))
				return
			}
			if len(some) < pageRows {
				return
			}
		}
	}
}

func (r *Reader) someCheckpoints(ctx context.Context, after int64) (some []CheckpointEntry, err error) {
	rows, err := r.db.QueryContext(ctx, `SELECT seq, leaf, at_ms, wall_ms, body FROM entry
		WHERE kind = 'checkpoint' AND bath IS NULL AND seq > ? ORDER BY seq LIMIT ?`, after, pageRows)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var c CheckpointEntry
		var atMS, wallMS int64
		var body string
		if err := rows.Scan(&c.Entry.Seq, &c.Leaf, &atMS, &wallMS, &body); err != nil {
			return some, err
		}
		c.Entry.Kind, c.Entry.Body = KindCheckpoint, json.RawMessage(body)
		c.Entry.At, c.Entry.Wall = instants(atMS, wallMS)
		if err := c.Entry.Decode(&c.Checkpoint); err != nil {
			return some, err
		}
		if c.Head, err = CheckpointOf(c.Note); err != nil {
			return some, fmt.Errorf("entry %d: %w", c.Entry.Seq, err)
		}
		some = append(some, c)
	}
	return some, rows.Err()
}
