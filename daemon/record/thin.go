package record

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"
)

// KindThinned is the kind of a Thinned.
const KindThinned Kind = "thinned"

// Thinned says that readings of a bath between its batches were thinned out: of
// these leaves only the hashes are left, and of the readings one every so often.
// So the tree, its checkpoints and every other leaf can be verified as before;
// what the readings were that are gone can not. Only Thin makes it.
type Thinned struct {
	First  int64         `json:"first"`    // number of the first reading
	Last   int64         `json:"last"`     // and of the last
	Count  int64         `json:"count"`    // how many there were
	Leaves []int64       `json:"leaves"`   // the blocks that they were in
	Every  time.Duration `json:"every_ns"` // between those that stand in for them
	// Kept are those, under their own numbers, in the form of a block's line.
	Kept json.RawMessage `json:"kept"`
}

// Kind returns KindThinned.
func (Thinned) Kind() Kind { return KindThinned }

func (b Thinned) check() error {
	if b.First < 1 || b.Last < b.First || b.Count < 1 || len(b.Leaves) == 0 || b.Every <= 0 {
		return errors.New("it does not say which readings were thinned out")
	}
	_, err := b.Readings()
	return err
}

// Readings returns the readings that stand in for those that are gone.
func (b Thinned) Readings() ([]Entry, error) {
	_, readings, err := readBlockLine(b.Kept, nil)
	return readings, err
}

// Thinning says what to thin out.
type Thinning struct {
	Before time.Time     // readings that are older by the wall clock
	Every  time.Duration // one reading in so much time is kept
}

// thinBlocks is how many blocks are thinned out in one commit, that no poll has
// to wait for long: six hours of one bath.
const thinBlocks = 360

// Thin thins out the oldest readings that t asks for, of one bath and of at most
// thinBlocks blocks, and returns the entry that says so; ok is false if there is
// nothing to thin. Call it until then. What belongs to a batch, and what no
// checkpoint covers, is never thinned out.
func (r *Record) Thin(ctx context.Context, at time.Duration, wall time.Time, t Thinning) (e Entry, ok bool, err error) {
	if t.Every < time.Second || t.Before.After(wall) {
		return Entry{}, false, fmt.Errorf("thin out readings before %s to one in %s: want the past, and a second at least", t.Before, t.Every)
	}
	batches, err := r.Batches(ctx)
	if err != nil {
		return Entry{}, false, fmt.Errorf("thin out readings: %w", err)
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.closed {
		return Entry{}, false, errors.New("thin out readings: the record is closed")
	}
	if err := r.settle(ctx); err != nil {
		return Entry{}, false, fmt.Errorf("thin out readings: %w", err)
	}
	for _, bath := range slices.Sorted(maps.Keys(r.tail.baths)) {
		gone, readings, err := r.old(ctx, bath, t, batches)
		if err != nil {
			return Entry{}, false, fmt.Errorf("thin out readings of %s: %w", bath, err)
		}
		if len(gone.Leaves) == 0 {
			continue
		}
		if gone.Kept, err = appendBlockLine(nil, r.tail.edge.size, readings); err != nil {
			return Entry{}, false, fmt.Errorf("thin out readings of %s: %w", bath, err)
		}
		if e, err = Of(max(at, r.tail.at), wall, bath, gone); err != nil {
			return Entry{}, false, err
		}
		numbered, err := r.append(ctx, []Entry{e}, func(ctx context.Context) error { return r.empty(ctx, gone.Leaves) })
		if err != nil {
			return Entry{}, false, err
		}
		return numbered[0], true, nil
	}
	return Entry{}, false, nil
}

// old returns the oldest run of a bath's whole packs to thin out, with the
// readings to keep.
func (r *Record) old(ctx context.Context, bath string, t Thinning, batches []BatchEntries) (gone Thinned, kept []Entry, err error) {
	run, err := r.oldRun(ctx, bath, batches)
	if err != nil {
		return gone, nil, err
	}
	gone.Every = t.Every
	for _, p := range run {
		readings, err := r.readingsOf(ctx, bath, p)
		if err != nil {
			return gone, nil, err
		}
		if !readings[len(readings)-1].Wall.Before(t.Before) {
			break
		}
		kept = thinOut(kept, readings, t.Every)
		for _, k := range p {
			gone.Leaves = append(gone.Leaves, k.leaf)
		}
		gone.Count += int64(len(readings))
		gone.First, gone.Last = run[0][0].first, p[len(p)-1].last
	}
	return gone, kept, nil
}

// readingsOf returns the readings of the blocks of one pack.
func (r *Record) readingsOf(ctx context.Context, bath string, blocks []oldBlock) (readings []Entry, err error) {
	u := r.unpackers.Get().(*unpacker)
	defer r.unpackers.Put(u)
	first, last := blocks[0], blocks[len(blocks)-1]
	packed, err := readBlocks(ctx, r.conn, "WHERE k.bath = ? AND k.first BETWEEN ? AND ? ORDER BY k.first", r.tail.baths[bath], first.first, last.first)
	if err != nil {
		return nil, err
	}
	c := cursor{bath: bath, blocks: packed}
	for len(c.blocks) > 0 {
		if err := c.open(u); err != nil {
			return nil, err
		}
		readings = append(readings, c.entries...)
	}
	return readings, nil
}

// oldBlock is a block without what is in it.
type oldBlock struct {
	span
	leaf int64
	pack int64
}

// oldRun lists the oldest blocks of a bath that lie between the same two batches
// and that a checkpoint covers, in whole packs. (So a little stays before each
// batch, and after it.)
func (r *Record) oldRun(ctx context.Context, bath string, batches []BatchEntries) (run [][]oldBlock, err error) {
	rows, err := r.conn.QueryContext(ctx, oldBlocksSQL, r.tail.baths[bath])
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var p []oldBlock // the next pack
	spared, n := false, 0
	// put takes in p, which is whole; it returns false at the end of the run.
	put := func() bool {
		switch {
		case len(p) == 0:
		case !spared && n+len(p) <= thinBlocks:
			run, n = append(run, p), n+len(p)
		case len(run) > 0:
			return false
		}
		p, spared = nil, false
		return true
	}
	for rows.Next() {
		var k oldBlock
		var covered bool
		if err := rows.Scan(&k.leaf, &k.first, &k.last, &k.pack, &covered); err != nil {
			return nil, err
		}
		if len(p) > 0 && k.pack != p[0].pack && !put() {
			return run, nil
		}
		p = append(p, k)
		spared = spared || !covered || k.ofBatch(bath, batches)
	}
	// The last pack is still to come: its lines are loose.
	return run, rows.Err()
}

// Covered by a checkpoint: what is gone was signed while it was there.
const oldBlocksSQL = `
SELECT k.leaf, k.first, k.last, k.pack,
  k.leaf < coalesce((SELECT leaf FROM entry WHERE kind = 'checkpoint' AND bath IS NULL ORDER BY seq DESC LIMIT 1), 0)
FROM block k WHERE k.bath = ?1 AND k.pack IS NOT NULL
ORDER BY k.first`

// ofBatch reports whether a block holds anything of a batch of its bath.
func (s span) ofBatch(bath string, batches []BatchEntries) bool {
	for _, b := range batches {
		switch {
		case b.Opened.Bath != bath && b.Closed.Bath != bath:
		case b.Opened.Seq <= s.last && (b.Open() || s.first <= b.Closed.Seq):
			return true
		}
	}
	return false
}

// thinOut adds to kept the first of the readings in each stretch of time.
func thinOut(kept, readings []Entry, every time.Duration) []Entry {
	for _, e := range readings {
		if n := len(kept); n == 0 || e.At/every != kept[n-1].At/every {
			kept = append(kept, e)
		}
	}
	return kept
}

// empty leaves nothing of blocks but their hashes, within a transaction.
func (r *Record) empty(ctx context.Context, leaves []int64) error {
	for _, leaf := range leaves {
		for _, q := range []string{
			"DELETE FROM pack WHERE id = ?", // its own, if it is the first of one
			"DELETE FROM loose WHERE leaf = ?",
			"UPDATE block SET pack = NULL WHERE leaf = ?",
		} {
			if _, err := r.conn.ExecContext(ctx, q, leaf); err != nil {
				return err
			}
		}
	}
	return nil
}
