package record

import (
	"context"
	"database/sql"
	"fmt"
	"math/bits"

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
	var last int64
	err = c.QueryRowContext(ctx, "SELECT "+treeSizeSQL+", coalesce((SELECT max(id) FROM hash), -1)").Scan(&e.size, &last)
	if err != nil {
		return e, fmt.Errorf("find the end of the record's tree: %w", err)
	}
	if want := lastKept(e.size); last != want {
		return e, fmt.Errorf("the record's tree is damaged: its last hash is number %d, over %d leaves it is %d: verify the record and go on with a copy that is sound", last, e.size, want)
	}
	for level := range e.hashes {
		if e.size>>level&1 == 0 {
			continue
		}
		if e.hashes[level], err = readNode(ctx, c, level, e.size>>level-1); err != nil {
			return e, err
		}
	}
	return e, nil
}

// keptLevels is of how many levels of the tree one is kept in the file, beginning
// with the leaves.
const keptLevels = 4

// lastKept is the last number of a hash that the file has of a tree of so many
// leaves, -1 of none.
func lastKept(size int64) int64 {
	if size == 0 {
		return -1
	}
	top := bits.TrailingZeros64(uint64(size)) // of the nodes that the last leaf completes
	return tlog.StoredHashIndex(0, size-1) + int64(top-top%keptLevels)
}

// readNode returns the hash of the nth node of a level, made from those below it
// that are kept: eight at most.
func readNode(ctx context.Context, q querier, level int, n int64) (h tlog.Hash, err error) {
	if level%keptLevels == 0 {
		return readHash(ctx, q, tlog.StoredHashIndex(level, n))
	}
	left, err := readNode(ctx, q, level-1, 2*n)
	if err != nil {
		return h, err
	}
	right, err := readNode(ctx, q, level-1, 2*n+1)
	if err != nil {
		return h, err
	}
	return tlog.NodeHash(left, right), nil
}

// readHash reads one kept hash.
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
