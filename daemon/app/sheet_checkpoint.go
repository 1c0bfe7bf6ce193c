package app

import (
	"context"
	"encoding/json"
	"fmt"

	"bainward/daemon/record"
)

// kindCheckpoint is the kind of an entry that holds a signed checkpoint.
const kindCheckpoint record.Kind = "checkpoint"

// noCheckpoint stands where none covers the batch.
const noCheckpoint = "no checkpoint covers this batch yet"

// checkpoint finds the signed checkpoint that covers everything on the sheet. It
// is the first that does: a later one proves no more, and the sheet would read
// otherwise each time another is added.
func (w *sheetWriter) checkpoint(ctx context.Context, r *record.Reader) error {
	w.out.Record.Checkpoint = noCheckpoint
	last, ok, err := r.LastOf(ctx, "", kindCheckpoint)
	if err != nil || !ok || last.Seq < w.used.seq {
		return err
	}
	for e, err := range r.Entries(ctx, w.used.seq, last.Seq) {
		if err != nil {
			return err
		}
		if e.Kind != kindCheckpoint {
			continue
		}
		var body struct {
			Note string `json:"note"`
		}
		if err := json.Unmarshal(e.Body, &body); err != nil {
			return fmt.Errorf("checkpoint of entry %d: %w", e.Seq, err)
		}
		w.out.Record.Checkpoint = body.Note
		w.used.take(e)
		return nil
	}
	return nil
}
