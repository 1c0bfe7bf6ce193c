package app

import (
	"context"
	"errors"
	"fmt"

	"bainward/daemon/cutout"
	"bainward/daemon/phone/calls"
	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/alarm"
)

// Cut is a bath whose heat can be cut, and by what. It is no substitute for a
// safety device.
type Cut struct {
	Bath   string
	Output cutout.Output
}

// openCuts prepares the cut-outs. What cut the heat before a restart keeps it cut.
func (a *App) openCuts(ctx context.Context) error {
	a.faults = map[*cutout.Cutout]error{}
	for _, c := range a.opt.Cuts {
		e, ok, err := a.record.LastOf(ctx, c.Bath, record.KindCutout)
		if err != nil {
			return err
		}
		o := cutout.Options{Bath: c.Bath, Output: c.Output}
		if ok {
			var b record.Cutout
			if err := e.Decode(&b); err != nil {
				return err
			}
			if id, tripped := rules.ParseID(b.Trip); tripped {
				o.Was = cutout.Trip{Set: true, Alarm: id}
			}
		}
		cut, err := cutout.New(o)
		if err != nil {
			return fmt.Errorf("open the cut-out of bath %s: %w", c.Bath, err)
		}
		a.cuts = append(a.cuts, cut)
	}
	return nil
}

// tellCuts tells the cut-outs of a poll that counts.
func (a *App) tellCuts() {
	if len(a.cuts) == 0 {
		return
	}
	for _, s := range a.Snapshots() {
		for _, c := range a.cuts {
			if c.Bath() == s.Bath {
				c.Poll(cutout.PollOf(s))
			}
		}
	}
}

// recordCuts drafts what the cut-outs did since the last poll. They did it by
// then: heat that is to be off does not wait for a disk.
func (a *App) recordCuts(d *draft) {
	for _, c := range a.cuts {
		a.cutChanges = append(a.cutChanges, c.Changes()...)
		a.noteFault(d, c)
	}
	for _, ch := range a.cutChanges {
		b := record.Cutout{Allow: ch.Allow, Why: ch.Why, By: ch.Who}
		if ch.Trip.Set {
			b.Trip = ch.Trip.Alarm.String()
		}
		d.add(ch.Bath, b)
		a.opt.Logger.Warn("cut-out", "change", ch.String())
	}
	d.then(func() { a.cutChanges = nil })
}

// noteFault tells once an outage that the output of a cut-out cannot be switched:
// the log always, people if the heat may still be on. The cut-out keeps the same
// error through one outage.
func (a *App) noteFault(d *draft, c *cutout.Cutout) {
	err := c.Fault()
	if err == a.faults[c] {
		return
	}
	m := calls.Matter{Subject: "cutout-" + c.Bath(), Priority: alarm.Critical, Fact: c.Bath() + ": heat not cut",
		Do: "Turn the heat off by hand.", Over: true}
	var out *cutout.OutputError
	if errors.As(err, &out) && !out.Allow {
		m.Over = false
	}
	d.happened = append(d.happened, m)
	d.then(func() {
		a.faults[c] = err
		if err != nil {
			a.opt.Logger.Error("cut-out", "error", err)
		}
	})
}

// HeatBack gives the heat back to a bath after an alarm cut it. That somebody
// asked is in the record first: with a full disk the heat stays off.
func (a *App) HeatBack(ctx context.Context, bathName, who string) error {
	for _, c := range a.cuts {
		if c.Bath() != bathName {
			continue
		}
		err := a.ask(ctx, bathName, func(_ context.Context, d *draft, _ *bath) error {
			asked := record.Cutout{Why: "the heat is asked back", By: who}
			if t := c.Tripped(); t.Set {
				asked.Trip = t.Alarm.String()
			}
			d.add(bathName, asked)
			return nil
		})
		if err != nil {
			return err
		}
		return c.Reset(who)
	}
	return fmt.Errorf("bath %s has no cut-out", bathName)
}
