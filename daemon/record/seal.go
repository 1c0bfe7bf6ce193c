package record

import (
	"context"
	"fmt"
	"maps"
	"slices"

	"golang.org/x/mod/sumdb/tlog"
)

// sealFor seals what must be sealed before an entry comes in: the readings of
// its bath if they span blockSpan by now, of a bath whose batch is closed, and of
// all baths before a checkpoint or the stop.
func (r *Record) sealFor(ctx context.Context, t *tail, e *Entry) error {
	switch e.Kind {
	case KindReading:
		id, known := t.baths[e.Bath]
		if open := t.open[id]; known && len(open) > 0 && e.At-open[0].At >= blockSpan {
			return r.seal(ctx, t, id)
		}
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
	for _, id := range slices.Sorted(maps.Keys(t.open)) {
		if err := r.seal(ctx, t, id); err != nil {
			return err
		}
	}
	return nil
}

// seal makes the open readings of a bath one block and one leaf of the tree, and
// takes them out of the table of open ones. They are sealed as they were
// appended, whatever became of that table meanwhile.
func (r *Record) seal(ctx context.Context, t *tail, id int64) error {
	readings := t.open[id]
	if len(readings) == 0 {
		return nil
	}
	bath, leaf := readings[0].Bath, t.edge.size
	line, err := appendBlockLine(r.line[:0], leaf, readings)
	if err != nil {
		return fmt.Errorf("seal readings of %s: %w", bath, err)
	}
	r.line = line
	pack, at, err := r.putLine(ctx, id, leaf, line)
	if err != nil {
		return err
	}
	first, last := readings[0].Seq, readings[len(readings)-1].Seq
	if _, err := r.write.block.ExecContext(ctx, leaf, id, first, last, len(readings), len(line), pack, at); err != nil {
		return err
	}
	gone, err := r.write.unread.ExecContext(ctx, id)
	if err != nil {
		return err
	}
	if n, err := gone.RowsAffected(); err != nil || n != int64(len(readings)) {
		r.log.Error("open readings were changed by another program; they are sealed as they were read", "bath", bath, "found", n, "expected", len(readings))
	}
	delete(t.open, id)
	return r.putLeaf(ctx, t, line)
}

// putLeaf adds a leaf to the tree and writes those of the hashes that it brings
// that are kept.
func (r *Record) putLeaf(ctx context.Context, t *tail, line []byte) error {
	id := tlog.StoredHashIndex(0, t.edge.size)
	hashes, err := t.edge.add(line)
	if err != nil {
		return err
	}
	for i := 0; i < len(hashes); i += keptLevels {
		if _, err := r.write.hash.ExecContext(ctx, id+int64(i), hashes[i][:]); err != nil {
			return err
		}
	}
	return nil
}
