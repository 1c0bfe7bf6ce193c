package app

import (
	"context"

	"bainward/daemon/record"
)

// noCheckpoint stands where none covers the batch.
const noCheckpoint = "no checkpoint covers this batch yet"

// checkpoint finds the signed checkpoint that covers everything on the sheet. It
// is the first that does: a later one proves no more, and the sheet would read
// otherwise each time another is added.
func (w *sheetWriter) checkpoint(ctx context.Context, r *record.Reader) error {
	w.out.Record.Checkpoint = noCheckpoint
	w.covers = map[int64]bool{}
	evidence := w.used.seq
	for c, err := range r.Checkpoints(ctx) {
		switch {
		case err != nil:
			return err
		case c.Head.Seq < evidence:
			continue
		case len(w.covers) == 0:
			w.out.Record.Checkpoint = c.Note
			w.used.take(c.Entry)
		}
		w.covers[c.Head.Size] = true
	}
	return nil
}
