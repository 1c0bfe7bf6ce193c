package record

import (
	"context"
	"fmt"
	"slices"

	"golang.org/x/mod/sumdb/tlog"
)

// openRun is a bath's readings that are not in a block yet.
type openRun struct {
	bath  string
	since int64 // at_ms of the first
}

// sealFor seals what must be sealed before an entry comes in: the readings of
// its bath if they span a minute by now, of a bath whose batch is closed, and of
// all baths before a checkpoint or the stop.
func (r *Record) sealFor(ctx context.Context, t *tail, e *Entry) error {
	switch e.Kind {
	case KindReading:
		id, known := t.baths[e.Bath]
		run, open := t.open[id]
		if !known || !open || e.At.Milliseconds()-run.since < blockSpan.Milliseconds() {
			return nil
		}
		return r.seal(ctx, t, id)
	case KindBatch:
		var b Batch
		if err := e.Decode(&b); err != nil {
			return err
		}
		if id, known := t.baths[e.Bath]; known && b.State == Closed {
			return r.seal(ctx, t, id)
		}
	case KindCheckpoint, KindStop:
		return r.sealAll(ctx, t)
	}
	return nil
}

func (r *Record) sealAll(ctx context.Context, t *tail) error {
	ids := make([]int64, 0, len(t.open))
	for id := range t.open {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	for _, id := range ids {
		if err := r.seal(ctx, t, id); err != nil {
			return err
		}
	}
	return nil
}

// seal makes the open readings of a bath one block and one leaf of the tree, and
// takes them out of the table of open ones.
func (r *Record) seal(ctx context.Context, t *tail, id int64) error {
	if _, open := t.open[id]; !open {
		return nil
	}
	readings, err := r.openReadings(ctx, id)
	if err != nil {
		return err
	}
	if len(readings) == 0 {
		return fmt.Errorf("seal readings of %s: they are gone", t.open[id].bath)
	}
	line, err := appendBlockLine(r.line[:0], t.edge.size, readings)
	if err != nil {
		return fmt.Errorf("seal readings of %s: %w", t.open[id].bath, err)
	}
	r.line = line
	data, err := r.packer.pack(line)
	if err != nil {
		return err
	}
	first, last := readings[0].Seq, readings[len(readings)-1].Seq
	if _, err := r.write.block.ExecContext(ctx, t.edge.size, id, first, last, len(readings), len(line), data); err != nil {
		return err
	}
	if _, err := r.write.unread.ExecContext(ctx, id); err != nil {
		return err
	}
	delete(t.open, id)
	return r.putLeaf(ctx, t, line)
}

// openReadings returns the readings of a bath that are not in a block yet, good
// until the next call.
func (r *Record) openReadings(ctx context.Context, id int64) ([]Entry, error) {
	rows, err := r.write.open.QueryContext(ctx, id)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	r.readings = r.readings[:0]
	for rows.Next() {
		e, err := scan(rows)
		if err != nil {
			return nil, err
		}
		r.readings = append(r.readings, e)
	}
	return r.readings, rows.Err()
}

// putLeaf adds a leaf to the tree and writes the hashes that it brings.
func (r *Record) putLeaf(ctx context.Context, t *tail, line []byte) error {
	id := tlog.StoredHashIndex(0, t.edge.size)
	hashes, err := t.edge.add(line)
	if err != nil {
		return err
	}
	for i := range hashes {
		if _, err := r.write.hash.ExecContext(ctx, id+int64(i), hashes[i][:]); err != nil {
			return err
		}
	}
	return nil
}
