package app

import (
	"context"
	"errors"
	"time"

	"bainward/daemon/cutout"
	"bainward/daemon/metrics"
	"bainward/daemon/phone/calls"
	"bainward/daemon/site"
	"bainward/daemon/web"
)

// Cutouts lists the cut-outs for the pages; with HeatBack it makes web.Cutouts.
func (a *App) Cutouts() []web.Cutout {
	all := make([]web.Cutout, 0, len(a.cuts))
	for _, c := range a.cuts {
		v := c.Verdict()
		one := web.Cutout{Bath: c.Bath(), Allow: v.Allow, Why: v.Why, Fault: faultOf(c)}
		if trip := c.Tripped(); trip.Set {
			one.Tripped = trip.Alarm.String()
		}
		all = append(all, one)
	}
	return all
}

// faultOf says which output could not be switched, and why. What it means for the
// heat, and the caution, stand beside it on the page.
func faultOf(c *cutout.Cutout) string {
	err := c.Fault()
	if at, ok := errors.AsType[*cutout.OutputError](err); ok {
		return at.Output + ": " + at.Err.Error()
	}
	if err != nil {
		return err.Error()
	}
	return ""
}

// outward gathers what the metrics tell of people, heartbeat and cut-outs.
func (a *App) outward() metrics.Outward {
	o := metrics.Outward{Calls: a.callsNow()}
	if h := a.opt.Heartbeat; h != nil {
		c := h.Counts()
		o.Heartbeat = &metrics.Heartbeat{Calls: c.Calls, Failures: c.Failures}
	}
	for _, c := range a.cuts {
		o.Cutouts = append(o.Cutouts, metrics.Cutout{Bath: c.Bath(), Allowed: c.Verdict().Allow, Tripped: c.Tripped().Set})
	}
	return o
}

// callsNow is nil where the site file names no way to anybody.
func (a *App) callsNow() *metrics.Calls {
	if a.phones == nil || len(a.phones.everyWay()) == 0 {
		return nil
	}
	c := &metrics.Calls{}
	c.Ready, _ = a.Ready()
	for _, h := range a.phones.desk.Health() {
		c.Channels = append(c.Channels, metrics.Channel{
			Name: h.Channel, Waiting: h.Waiting, Failing: !h.FailingSince.IsZero(),
			Delivered: h.Delivered, Failed: h.Failed, GaveUp: h.GaveUp, Withdrawn: h.Withdrawn,
		})
	}
	for _, p := range a.Proofs() {
		c.Ways = append(c.Ways, metrics.Way{Contact: p.Contact, Channel: p.Channel, Worked: p.LastGood})
	}
	a.mu.RLock()
	defer a.mu.RUnlock()
	for _, open := range a.phones.shown.open {
		c.Open[open.Priority]++
	}
	return c
}

// ProveOnce proves every way of p as TestAlarm does, with the same words and the
// same patience, for somebody whose daemon does not run. Nothing is recorded. The
// pins must be running.
func ProveOnce(ctx context.Context, s *site.Site, p Phones, now time.Time) []web.Proof {
	a := &App{opt: Options{Site: s}, phones: &phones{Phones: p}} // a desk and a record are not needed to prove
	d := &draft{wall: now}
	var due []calls.Due
	for i, w := range a.phones.everyWay() {
		due = append(due, a.proof(d, i, w))
	}
	a.takeFacts(d, due)
	for _, went := range a.sendProofs(ctx, due) {
		a.phones.shown.take(d.at, d.wall, went)
	}
	return a.Proofs()
}
