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
	for c, err := range r.Checkpoints(ctx) {
		if err != nil {
			return err
		}
		if c.Head.Seq >= w.used.seq {
			w.out.Record.Checkpoint = c.Note
			w.used.take(c.Entry)
			return nil
		}
	}
	return nil
}
