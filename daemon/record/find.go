package record

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"iter"
)

// LastOf returns the last entry of a kind of one bath, or of the whole site if
// bath is empty; ok is false if there is none. The last reading of a bath that
// has not been read for years takes long to find.
func (r *Reader) LastOf(ctx context.Context, bath string, kind Kind) (e Entry, ok bool, err error) {
	var id any
	if bath != "" {
		n, known, err := r.bathID(ctx, bath)
		if err != nil || !known {
			return Entry{}, false, err
		}
		id = n
	}
	if kind == KindReading {
		return r.lastReading(ctx, bath, id)
	}
	e, err = scan(r.db.QueryRowContext(ctx, entrySQL+"WHERE kind = ? AND bath IS ? ORDER BY seq DESC LIMIT 1", string(kind), id))
	if errors.Is(err, sql.ErrNoRows) {
		return Entry{}, false, nil
	}
	return e, err == nil, err
}

// lastReading returns the last reading of a bath that was not thinned out. The
// open ones are asked for first: what is sealed meanwhile is then found once.
func (r *Reader) lastReading(ctx context.Context, bath string, id any) (Entry, bool, error) {
	e, err := scan(r.db.QueryRowContext(ctx, readingSQL+"WHERE r.bath = ? ORDER BY r.seq DESC LIMIT 1", id))
	if err == nil || !errors.Is(err, sql.ErrNoRows) {
		return e, err == nil, err
	}
	tx, err := r.db.BeginTx(ctx, nil)
	if err != nil {
		return Entry{}, false, err
	}
	defer tx.Rollback()
	blocks, err := readBlocks(ctx, tx, "WHERE k.bath = ? AND k.pack IS NOT NULL ORDER BY k.first DESC LIMIT 1", id)
	if err != nil {
		return Entry{}, false, fmt.Errorf("find the last reading of %s: %w", bath, err)
	}
	if len(blocks) == 0 {
		return Entry{}, false, nil
	}
	u := r.unpackers.Get().(*unpacker)
	defer r.unpackers.Put(u)
	c := cursor{bath: bath, blocks: blocks}
	if err := c.open(u); err != nil {
		return Entry{}, false, err
	}
	return c.entries[len(c.entries)-1], true, nil
}

// OpenBatch returns the entry that opened the bath's batch; ok is false if none
// is open.
func (r *Reader) OpenBatch(ctx context.Context, bath string) (e Entry, ok bool, err error) {
	e, ok, err = r.LastOf(ctx, bath, KindBatch)
	if err != nil || !ok {
		return Entry{}, false, err
	}
	var b Batch
	if err := e.Decode(&b); err != nil {
		return Entry{}, false, err
	}
	if b.State != Opened {
		return Entry{}, false, nil
	}
	return e, true, nil
}

// SinceBatch goes through what must be folded to bring a bath to where it
// stands: the config that held when its open batch was opened, then everything
// of the bath and of the site from that opening on, in order. If no batch is
// open it yields the bath's last config alone, if there is one.
func (r *Reader) SinceBatch(ctx context.Context, bath string) iter.Seq2[Entry, error] {
	return func(yield func(Entry, error) bool) {
		batch, open, err := r.OpenBatch(ctx, bath)
		if err != nil {
			yield(Entry{}, err)
			return
		}
		config, ok, err := r.configBefore(ctx, bath, batch.Seq)
		if err != nil {
			yield(Entry{}, err)
			return
		}
		if ok && !yield(config, nil) || !open {
			return
		}
		r.ofBath(ctx, bath, batch.Seq, 0)(yield)
	}
}

// configBefore returns the bath's last config before entry seq, or its very
// last if seq is 0.
func (r *Reader) configBefore(ctx context.Context, bath string, seq int64) (Entry, bool, error) {
	if seq == 0 {
		return r.LastOf(ctx, bath, KindConfig)
	}
	id, known, err := r.bathID(ctx, bath)
	if err != nil || !known {
		return Entry{}, false, err
	}
	e, err := scan(r.db.QueryRowContext(ctx,
		entrySQL+"WHERE kind = ? AND bath = ? AND seq < ? ORDER BY seq DESC LIMIT 1", string(KindConfig), id, seq))
	if errors.Is(err, sql.ErrNoRows) {
		return Entry{}, false, nil
	}
	return e, err == nil, err
}

// BatchEntries is a batch with the entries that opened and closed it.
type BatchEntries struct {
	Batch  Batch // as it was opened, or as it was closed
	Opened Entry // without a number if the record does not hold the opening
	Closed Entry // without a number while the batch is open
}

// Open reports whether the batch has not been closed.
func (b BatchEntries) Open() bool { return b.Closed.Seq == 0 }

// Batches returns all batches of all baths in the order in which they were
// opened.
func (r *Reader) Batches(ctx context.Context) ([]BatchEntries, error) {
	rows, err := r.db.QueryContext(ctx, entrySQL+"WHERE kind = ? ORDER BY seq", string(KindBatch))
	if err != nil {
		return nil, fmt.Errorf("read batches: %w", err)
	}
	defer rows.Close()
	var all []BatchEntries
	open := map[string]int{} // where in all the bath's open batch is
	for rows.Next() {
		e, err := scan(rows)
		if err != nil {
			return nil, err
		}
		var b Batch
		if err := e.Decode(&b); err != nil {
			return nil, err
		}
		at, ok := open[e.Bath]
		switch {
		case b.State == Opened:
			open[e.Bath] = len(all)
			all = append(all, BatchEntries{Batch: b, Opened: e})
		case ok && all[at].Batch.Number == b.Number:
			all[at].Batch, all[at].Closed = b, e
			delete(open, e.Bath)
		default:
			all = append(all, BatchEntries{Batch: b, Closed: e})
		}
	}
	if err := rows.Err(); err != nil {
		return nil, fmt.Errorf("read batches: %w", err)
	}
	return all, nil
}
