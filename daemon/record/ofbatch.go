package record

import (
	"context"
	"iter"
)

// OfBatch goes through what must be folded to see how a batch went: the config
// that held when it was opened, then everything of its bath and of the site from
// its opening to its closing, or to the end while it is open. Entries of a later
// day that correct its goods are not among them: see Goods.
func (r *Reader) OfBatch(ctx context.Context, b BatchEntries) iter.Seq2[Entry, error] {
	return func(yield func(Entry, error) bool) {
		if b.Opened.Seq == 0 {
			return // the record does not hold its opening: nothing can be said
		}
		config, ok, err := r.configBefore(ctx, b.Opened.Bath, b.Opened.Seq)
		if err != nil {
			yield(Entry{}, err)
			return
		}
		if ok && !yield(config, nil) {
			return
		}
		r.ofBath(ctx, b.Opened.Bath, b.Opened.Seq, b.Closed.Seq)(yield)
	}
}
