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
const thinBlocks = 72

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

// old returns the oldest run of a bath's whole blocks to thin out, with the
// readings to keep.
func (r *Record) old(ctx context.Context, bath string, t Thinning, batches []BatchEntries) (gone Thinned, kept []Entry, err error) {
	run, err := r.oldRun(ctx, bath, batches)
	if err != nil {
		return gone, nil, err
	}
	u := r.unpackers.Get().(*unpacker)
	defer r.unpackers.Put(u)
	gone.Every = t.Every
	for _, k := range run {
		if err := r.conn.QueryRowContext(ctx, "SELECT data FROM block WHERE leaf = ?", k.leaf).Scan(&k.data); err != nil {
			return gone, nil, err
		}
		c := cursor{bath: bath, blocks: []packedBlock{k}}
		if err := c.open(u); err != nil {
			return gone, nil, err
		}
		if !c.entries[len(c.entries)-1].Wall.Before(t.Before) {
			break
		}
		kept = thinOut(kept, c.entries, t.Every)
		gone.Leaves = append(gone.Leaves, k.leaf)
		gone.Count += int64(len(c.entries))
		gone.First, gone.Last = run[0].first, k.last
	}
	return gone, kept, nil
}

// oldRun lists the oldest whole blocks of a bath that lie between the same two
// batches, without what is in them.
func (r *Record) oldRun(ctx context.Context, bath string, batches []BatchEntries) (run []packedBlock, err error) {
	rows, err := r.conn.QueryContext(ctx, oldBlocksSQL, r.tail.baths[bath])
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() && len(run) < thinBlocks {
		var k packedBlock
		if err := rows.Scan(&k.leaf, &k.first, &k.last, &k.size); err != nil {
			return nil, err
		}
		switch {
		case !k.ofBatch(bath, batches):
			run = append(run, k)
		case len(run) > 0:
			return run, nil
		}
	}
	return run, rows.Err()
}

// Covered by a checkpoint: what is gone was signed while it was there.
const oldBlocksSQL = `
SELECT leaf, first, last, size FROM block
WHERE bath = ?1 AND data IS NOT NULL
  AND leaf < (SELECT leaf FROM entry WHERE kind = 'checkpoint' AND bath IS NULL ORDER BY seq DESC LIMIT 1)
ORDER BY first`

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
		if _, err := r.conn.ExecContext(ctx, "UPDATE block SET data = NULL WHERE leaf = ?", leaf); err != nil {
			return err
		}
	}
	return nil
}
