package app

import (
	"context"
	"errors"
	"fmt"

	"bainward/daemon/record"
	"bainward/dashboards"
	"bainward/rules/batch/ledger"
)

// Sign puts somebody's name under a batch that is over, as it stands under a
// checkpoint that is made for it. Whoever asks has proved to be by, with a
// password given for this signature.
func (a *App) Sign(ctx context.Context, number string, s dashboards.Signature) error {
	if s.By == "" {
		return errNobody
	}
	if err := a.mayBeSigned(ctx, number); err != nil {
		return err
	}
	// Two commits: what is signed must be on disk, and hashed, before the signature.
	err := a.ask(ctx, "", func(_ context.Context, d *draft, _ *bath) error {
		d.add("", record.Checkpoint{Why: record.WhyAsked})
		d.then(func() { a.checked = d.at })
		return nil
	})
	if err != nil {
		return fmt.Errorf("make the checkpoint to be signed: %w", err)
	}
	return a.ask(ctx, "", func(_ context.Context, d *draft, _ *bath) error {
		head, err := record.CheckpointOf(a.vouching.note)
		if err != nil {
			return err
		}
		d.add("", record.Signature{
			Batch: number, By: s.By, Role: s.Role, Meaning: s.Meaning, Remark: s.Remark, Size: head.Size, Root: head.Root.String(),
		})
		return nil
	})
}

// mayBeSigned says why a batch cannot be signed.
func (a *App) mayBeSigned(ctx context.Context, number string) error {
	all, err := a.record.Batches(ctx)
	if err != nil {
		return err
	}
	for _, b := range all {
		switch {
		case b.Batch.Number != number:
		case b.Open():
			return fmt.Errorf("batch %s is still open: it is closed an hour after it was bottled or abandoned, and can be signed then", number)
		default:
			return nil
		}
	}
	return fmt.Errorf("batch %q: %w", number, errNoBatch)
}

var errNoBatch = errors.New("there is none of that number")

// Signatures returns who signed a batch, in order, and how many entries about its
// goods came after each.
func (a *App) Signatures(ctx context.Context, number string) ([]dashboards.Signature, error) {
	entries, err := a.record.OfKind(ctx, record.KindSignature)
	if err != nil {
		return nil, err
	}
	goods, err := a.record.Goods(ctx)
	if err != nil {
		return nil, err
	}
	var all []dashboards.Signature
	for _, e := range entries {
		var s record.Signature
		if err := e.Decode(&s); err != nil {
			return nil, fmt.Errorf("read signature, entry %d: %w", e.Seq, err)
		}
		if s.Batch != number {
			continue
		}
		all = append(all, dashboards.Signature{
			At: e.Wall, By: s.By, Role: s.Role, Meaning: s.Meaning, Remark: s.Remark, Size: s.Size, Root: s.Root,
			After: aboutAfter(goods, number, e.Seq),
		})
	}
	return all, nil
}

// aboutAfter counts the entries about a batch's goods that came after one.
func aboutAfter(goods []record.Entry, number string, seq int64) int {
	about := map[int64]bool{}
	after := 0
	for _, e := range goods {
		switch {
		case e.Kind.Goods():
			f, _, err := e.Fact()
			about[e.Seq] = err == nil && ledger.Of(f.Fact) == number
		case e.Kind == record.KindCorrection:
			var c record.Correction
			about[e.Seq] = e.Decode(&c) == nil && about[c.Voids]
		}
		if about[e.Seq] && e.Seq > seq {
			after++
		}
	}
	return after
}
