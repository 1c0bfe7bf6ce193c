package record

import (
	"context"
	"fmt"
	"strings"

	"golang.org/x/mod/sumdb/tlog"
)

// OfKind returns all entries of some kinds, none of them KindReading, in order.
// They are found through the index: meant for kinds of which there are few.
func (r *Reader) OfKind(ctx context.Context, kinds ...Kind) ([]Entry, error) {
	words := make([]any, len(kinds))
	for i, k := range kinds {
		words[i] = string(k)
	}
	places := strings.TrimSuffix(strings.Repeat("?, ", len(kinds)), ", ")
	rows, err := r.db.QueryContext(ctx, entrySQL+"WHERE kind IN ("+places+") ORDER BY seq", words...)
	if err != nil {
		return nil, fmt.Errorf("read entries of %v: %w", kinds, err)
	}
	defer rows.Close()
	var all []Entry
	for rows.Next() {
		e, err := scan(rows)
		if err != nil {
			return nil, err
		}
		all = append(all, e)
	}
	if err := rows.Err(); err != nil {
		return nil, fmt.Errorf("read entries of %v: %w", kinds, err)
	}
	return all, nil
}

// Subtree returns the hash of a full subtree: of the 2^level leaves that are the
// nth such run of the tree, from 0.
func (r *Reader) Subtree(ctx context.Context, level int, n int64) (tlog.Hash, error) {
	h, err := readNode(ctx, r.db, level, n)
	if err != nil {
		return h, fmt.Errorf("read the hash of the %d leaves from %d: %w", int64(1)<<level, n<<level, err)
	}
	return h, nil
}
