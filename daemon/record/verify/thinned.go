package verify

import (
	"context"
	"encoding/json"
	"fmt"
)

// thinned is an entry that says that readings between batches were thinned out:
// their lines are gone, their hashes are left, and so is one reading every so
// often, as the line of a block.
type thinned struct {
	First, Last, Count int64
	Leaves             []int64
	Kept               json.RawMessage
	entry              int64
	bath               string
	// What the rows of its leaves say, as far as they came by.
	first, last, count, leaves int64
}

// readThinned reads what was thinned out, by leaf, before the leaves are read:
// the entry that says so comes after them.
func (v *verifier) readThinned(ctx context.Context) error {
	rows, err := v.file.db.QueryContext(ctx, "SELECT seq, coalesce((SELECT name FROM bath WHERE id = entry.bath), ''), body FROM entry WHERE kind = 'thinned'")
	if err != nil {
		return fmt.Errorf("read what was thinned out: %w", err)
	}
	defer rows.Close()
	v.thinned = map[int64]*thinned{}
	for rows.Next() {
		var t thinned
		var body []byte
		if err := rows.Scan(&t.entry, &t.bath, &body); err != nil {
			return err
		}
		if json.Unmarshal(body, &t) != nil {
			continue // its leaf is told of when it comes by
		}
		for _, leaf := range t.Leaves {
			v.thinned[leaf] = &t
		}
	}
	return rows.Err()
}

// takeGone takes a block whose line is gone.
func (a *auditor) takeGone(n *leaf) {
	row := &n.row.block
	t := a.thinned[row.leaf]
	if t == nil || t.bath != row.bath {
		a.found.add(n.at(UnreadableLine, "a line, or an entry that says it was thinned out", "neither"))
		a.timeline.unknown = excuse(a.timeline.unknown, span{row.first, row.last})
		a.astray = true
		return
	}
	if t.leaves == 0 {
		t.first = row.first
	}
	t.last = row.last
	t.count += row.count
	t.leaves++
	a.lastOf[row.bath] = row.last
	a.sealed += row.count
	a.totals.Thinned += row.count
	a.timeline.thinned += row.count
	a.timeline.gone = excuse(a.timeline.gone, span{row.first, row.last})
	if t.leaves == int64(len(t.Leaves)) {
		a.checkThinned(t)
	}
}

// checkThinned holds what an entry says was thinned out against what is gone.
func (a *auditor) checkThinned(t *thinned) {
	says := fmt.Sprintf("%d readings of bath %s, entries %d to %d", t.Count, t.bath, t.First, t.Last)
	gone := fmt.Sprintf("%d readings of bath %s, entries %d to %d", t.count, t.bath, t.first, t.last)
	if says != gone {
		a.found.add(Finding{Kind: UnreadableLine, Entry: t.entry, Bath: t.bath, Expected: gone + " thinned out", Found: says})
	}
	var b block
	if err := b.read(t.Kept, a.faults); err != nil {
		a.found.add(Finding{Kind: UnreadableLine, Entry: t.entry, Bath: t.bath, Expected: "the readings that stand in for those thinned out", Found: err.Error()})
	}
}
