package verify

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"bainward/daemon/record"
)

// thinned is an entry that says that readings between batches were thinned out:
// their lines are gone, their hashes are left, and so is one reading every so
// often, as the line of a block.
type thinned struct {
	First, Last, Count int64
	Leaves             []int64
	Kept               json.RawMessage
	entry, leaf        int64
	bath               string
	covered            int64 // leaf of the last checkpoint before it; -1: there is none
	inBatch            bool  // it touches a batch
	// What the rows of its leaves say, as far as they came by.
	first, last, count, leaves int64
}

// thinnedSQL gives of each such entry where it stands, the last checkpoint before
// it, and the last batch entry of its bath up to the last reading that is gone.
const thinnedSQL = `
SELECT t.seq, t.leaf, coalesce((SELECT name FROM bath WHERE id = t.bath), ''), t.body,
  coalesce((SELECT leaf FROM entry WHERE kind = 'checkpoint' AND bath IS NULL AND seq < t.seq ORDER BY seq DESC LIMIT 1), -1),
  coalesce(b.seq, 0), coalesce(b.body ->> 'state', 'closed')
FROM entry t LEFT JOIN entry b ON b.seq = (
  SELECT seq FROM entry WHERE kind = 'batch' AND bath = t.bath AND seq <= t.body ->> 'last' ORDER BY seq DESC LIMIT 1)
WHERE t.kind = 'thinned' AND json_valid(t.body)`

// readThinned reads what was thinned out, by leaf, before the leaves are read:
// the entry that says so comes after them.
func (v *verifier) readThinned(ctx context.Context) error {
	rows, err := v.file.db.QueryContext(ctx, thinnedSQL)
	if err != nil {
		return fmt.Errorf("read what was thinned out: %w", err)
	}
	defer rows.Close()
	v.thinned = map[int64]*thinned{}
	for rows.Next() {
		var t thinned
		var body []byte
		var batch int64
		var state string
		if err := rows.Scan(&t.entry, &t.leaf, &t.bath, &body, &t.covered, &batch, &state); err != nil {
			return err
		}
		if json.Unmarshal(body, &t) != nil {
			continue // its leaves are told of when they come by
		}
		t.inBatch = batch >= t.First || state != record.Closed
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
	if t == nil || t.bath != row.bath || t.leaf <= row.leaf {
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

// checkThinned holds what an entry says was thinned out against what is gone, and
// against what may be.
func (a *auditor) checkThinned(t *thinned) {
	add := func(k Kind, expected, found string) {
		a.found.add(Finding{Kind: k, Entry: t.entry, Leaf: number(t.leaf), Bath: t.bath, Expected: expected, Found: found})
	}
	says := fmt.Sprintf("%d readings of entries %d to %d", t.Count, t.First, t.Last)
	gone := fmt.Sprintf("%d readings of entries %d to %d", t.count, t.first, t.last)
	if says != gone {
		add(UnreadableLine, gone+", as are gone", says)
	}
	var b block
	switch err := b.read(t.Kept, a.faults); {
	case err != nil:
		add(UnreadableLine, "the readings that stand in for those that are gone", err.Error())
	case b.leaf != t.leaf || b.seq[0] < t.First || b.seq[len(b.seq)-1] > t.Last:
		add(UnreadableLine, "the readings that stand in for those that are gone", "others")
	}
	if t.inBatch {
		add(MissingNumber, "readings of a batch, which are never thinned out", "they were")
	}
	if slices.Max(t.Leaves) >= t.covered {
		add(MissingNumber, "a checkpoint over what is thinned out", "none: nobody signed it while it was there")
	}
}
