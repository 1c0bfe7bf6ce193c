package app

import (
	"context"
	"time"

	"bainward/daemon/record"
)

// checkpointEvery is how much watching of a lit bath may lie behind no signature:
// an hour is what somebody who changes the record could change unseen, if nobody
// holds a later checkpoint.
const checkpointEvery = time.Hour

// openCheckpoints finds out when the last checkpoint was made.
func (a *App) openCheckpoints(ctx context.Context) error {
	last, ok, err := a.record.LastOf(ctx, "", record.KindCheckpoint)
	if err != nil || !ok {
		return err
	}
	a.checked = last.At
	return nil
}

// newKey drafts the key of a record that has none, or has lost it.
func (a *App) newKey(d *draft) {
	if !a.record.NeedsKey() {
		return
	}
	d.add("", record.Key{})
	d.then(func() {
		a.opt.Logger.Info("the record has a new key: keep a copy of it elsewhere, to tell later that the record is this one",
			"key", a.record.VerifierKey())
	})
}

// checkpoint puts a signed checkpoint behind a draft if one is due, so that both
// are one commit. A record without its key is no reason to stop watching a bath.
func (a *App) checkpoint(d *draft) {
	why := a.checkpointDue(d)
	if why == "" || why != record.WhyStart && a.record.NeedsKey() {
		return
	}
	d.add("", record.Checkpoint{Why: why})
	d.then(func() { a.checked = d.at })
}

// checkpointDue says why a draft wants a checkpoint; empty if it wants none.
func (a *App) checkpointDue(d *draft) string {
	for _, e := range d.entries {
		switch e.Kind {
		case record.KindKey:
			return record.WhyStart
		case record.KindStop:
			return record.WhyStop
		case record.KindBatch:
			var b record.Batch
			if err := e.Decode(&b); err == nil && b.State == record.Closed {
				return record.WhyBatchEnd
			}
		}
	}
	if d.at-a.checked < checkpointEvery {
		return ""
	}
	for _, b := range a.baths {
		if b.state.Rules.Phase().Lit() {
			return record.WhyHour
		}
	}
	return ""
}
