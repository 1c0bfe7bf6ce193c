package app

import (
	"context"
	"fmt"

	"bainward/daemon/record"
	"bainward/dashboards/paper"
)

// signatures fills in who signed the batch. A signature is bound to a checkpoint:
// one that was given before the last of what stands on the sheet is told, but does
// not stand under it.
func (w *sheetWriter) signatures(ctx context.Context, r *record.Reader) error {
	entries, err := r.OfKind(ctx, record.KindSignature)
	if err != nil {
		return err
	}
	for _, e := range entries {
		var s record.Signature
		if err := e.Decode(&s); err != nil {
			return err
		}
		if s.Batch == w.account.Batch {
			w.used.take(e)
			w.sign(e, s)
		}
	}
	return nil
}

func (w *sheetWriter) sign(e record.Entry, s record.Signature) {
	what := "signed: " + s.Meaning
	if s.Remark != "" {
		what += fmt.Sprintf(" (%s)", s.Remark)
	}
	at := w.where.wall(e.Seq, e.Wall)
	name := paper.Signature{Name: s.By, At: at}
	switch {
	case !w.covers[s.Size]:
		what += ", before later entries of this batch"
	case s.Meaning == record.Made:
		w.out.MadeBy = name
	case s.Meaning == record.Reviewed, s.Meaning == record.Released:
		w.out.ReviewedBy = name
	case s.Meaning == record.Rejected:
		w.out.ReviewedBy = paper.Signature{Name: s.By + ": rejected", At: at}
	}
	w.signed = append(w.signed, numberedDeed{e.Seq, paper.Deed{At: at, What: what, Who: s.By}})
}
