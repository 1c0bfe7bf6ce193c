package record

import (
	"context"
	"database/sql"
	"fmt"

	"golang.org/x/mod/sumdb/tlog"
)

// edge is the right edge of the tree: how many leaves it has, and the roots of
// the whole subtrees that they make up, one for every bit of size. It is all
// that is needed to add a leaf and to tell the root, so that adding one reads
// nothing from the file. A copy of an edge is an edge of its own.
type edge struct {
	size   int64
	hashes [63]tlog.Hash // by level
}

// add puts a leaf behind the others and returns the hashes to store, the first
// of them under tlog.StoredHashIndex(0, number of the leaf).
func (e *edge) add(line []byte) ([]tlog.Hash, error) {
	hashes, err := tlog.StoredHashes(e.size, line, e)
	if err != nil {
		return nil, err
	}
	// They go up from the leaf, level by level; the last of them is on the edge.
	top := len(hashes) - 1
	clear(e.hashes[:top])
	e.hashes[top] = hashes[top]
	e.size++
	return hashes, nil
}

// root returns the root over all leaves.
func (e *edge) root() (tlog.Hash, error) { return tlog.TreeHash(e.size, e) }

// ReadHashes gives tlog the hashes on the edge, as a tlog.HashReader.
func (e *edge) ReadHashes(indexes []int64) ([]tlog.Hash, error) {
	hashes := make([]tlog.Hash, len(indexes))
	for i, index := range indexes {
		level, n := tlog.SplitStoredHashIndex(index)
		if e.size>>level&1 == 0 || n != e.size>>level-1 {
			return nil, fmt.Errorf("hash %d of level %d is not on the edge of a tree of %d leaves", n, level, e.size)
		}
		hashes[i] = e.hashes[level]
	}
	return hashes, nil
}

// readEdge reads the edge of the tree in the file.
func readEdge(ctx context.Context, c *sql.Conn) (e edge, err error) {
	var hashes int64
	err = c.QueryRowContext(ctx, "SELECT "+treeSizeSQL+", coalesce((SELECT max(id) FROM hash), -1) + 1").Scan(&e.size, &hashes)
	if err != nil {
		return e, fmt.Errorf("find the end of the record's tree: %w", err)
	}
	if want := tlog.StoredHashCount(e.size); hashes != want {
		return e, fmt.Errorf("the record's tree is damaged: %d hashes over %d leaves, want %d: verify the record and go on with a copy that is sound", hashes, e.size, want)
	}
	for level := range e.hashes {
		if e.size>>level&1 == 0 {
			continue
		}
		id := tlog.StoredHashIndex(level, e.size>>level-1)
		if e.hashes[level], err = readHash(ctx, c, id); err != nil {
			return e, err
		}
	}
	return e, nil
}

// readHash reads one stored hash.
func readHash(ctx context.Context, q querier, id int64) (h tlog.Hash, err error) {
	var raw []byte
	if err := q.QueryRowContext(ctx, "SELECT hash FROM hash WHERE id = ?", id).Scan(&raw); err != nil {
		return h, fmt.Errorf("read hash %d of the record's tree: %w", id, err)
	}
	if copy(h[:], raw) != len(h) || len(raw) != len(h) {
		return h, fmt.Errorf("read hash %d of the record's tree: it has %d bytes, want %d", id, len(raw), len(h))
	}
	return h, nil
}
