package app

import (
	"context"
	"fmt"
	"slices"

	"bainward/daemon/record"
	"bainward/daemon/witness"
)

// vouching is what this site says of its own record to those who watch over it.
type vouching struct {
	heads  []int64 // sizes of the newest checkpoints, oldest first
	note   string  // the newest of them
	key    string
	handed []witness.Handing
	// asked are the sizes that others hold, by site: they are proven too.
	asked map[string]int64
}

// openVouching reads which keys and checkpoints the record has.
func (a *App) openVouching(ctx context.Context) error {
	entries, err := a.record.OfKind(ctx, record.KindKey, record.KindCheckpoint)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if err := a.vouching.take(e); err != nil {
			return fmt.Errorf("entry %d: %w", e.Seq, err)
		}
	}
	return nil
}

// take learns of a recorded key or checkpoint.
func (v *vouching) take(e record.Entry) error {
	switch e.Kind {
	case record.KindKey:
		var k record.Key
		if err := e.Decode(&k); err != nil {
			return err
		}
		if k.Signature != "" {
			v.handed = append(v.handed, witness.Handing{From: v.key, To: k.VKey, Note: k.Signature})
		}
		v.key = k.VKey
	case record.KindCheckpoint:
		var c record.Checkpoint
		if err := e.Decode(&c); err != nil {
			return err
		}
		head, err := record.CheckpointOf(c.Note)
		if err != nil {
			return err
		}
		v.note = c.Note
		v.heads = append(v.heads, head.Size)
		if extra := len(v.heads) - 1 - witness.MaxGrown; extra > 0 {
			v.heads = v.heads[extra:]
		}
	}
	return nil
}

// newest is the size of the newest checkpoint; 0: there is none.
func (v *vouching) newest() int64 {
	if len(v.heads) == 0 {
		return 0
	}
	return v.heads[len(v.heads)-1]
}

// provable are the sizes from which the newest checkpoint is proven to have grown.
func (v *vouching) provable() []int64 {
	sizes := slices.Clone(v.heads[:len(v.heads)-1])
	for _, size := range v.asked {
		sizes = append(sizes, size)
	}
	slices.Sort(sizes)
	return slices.Compact(sizes)
}

// vouched is a Publisher that can hold a checkpoint outside this machine.
type vouched interface {
	Checkpoint(document []byte)
	Cosign(site string, document []byte)
}

// publishCheckpoint gives the newest checkpoint to the broker, with proofs that
// the record only grew since the ones before it.
func (a *App) publishCheckpoint(ctx context.Context) error {
	to, ok := a.opt.Publisher.(vouched)
	if !ok || len(a.vouching.heads) == 0 {
		return nil
	}
	v := &a.vouching
	said := witness.Said{Note: v.note, Key: v.key, Handed: v.handed}
	newest := v.newest()
	for _, from := range v.provable() {
		proof, err := a.record.Consistency(ctx, from, newest)
		if err != nil {
			return fmt.Errorf("publish a checkpoint: %w", err)
		}
		said.Grown = append(said.Grown, witness.Growth{From: from, Proof: proof})
	}
	document, err := said.Encode()
	if err != nil {
		return err
	}
	to.Checkpoint(document)
	return nil
}
