package app

import (
	"context"
	"fmt"
	"slices"
	"time"

	"bainward/daemon/publish"
	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/fold"
	"bainward/sensors"
)

// loop takes polls and deeds, one at a time, until ctx ends. Each becomes a
// draft; the draft is recorded; only then does it count and is told.
func (a *App) loop(ctx context.Context, polls <-chan poll) {
	defer close(a.ended)
	patience := max(giveUp, 5*a.opt.Every)
	silent := time.NewTimer(patience)
	defer silent.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case p := <-polls:
			silent.Reset(patience)
			a.takePoll(ctx, p)
		case r := <-a.beside:
			a.takeBeside(ctx, r)
		case d := <-a.deeds:
			d.answer <- a.takeDeed(ctx, d)
		case <-a.outcomes():
			a.takeOutcomes(ctx)
		case <-silent.C:
			// The wire hangs. Nothing read is an input like any other.
			silent.Reset(max(a.opt.Every, time.Second))
			a.takePoll(ctx, a.silence(fmt.Errorf("the wire has not answered for %s", patience)))
		}
	}
}

func (a *App) takePoll(ctx context.Context, p poll) {
	if p.err != nil {
		a.opt.Logger.Warn("read the probes", "error", p.err)
	}
	// A loop that comes here does not hang, whatever becomes of the poll. A full
	// disk is no better after a restart, and the pages would be gone with it.
	defer a.opt.Notify("WATCHDOG=1")
	d := a.draft()
	clock := wallWatch{uptime: a.opt.Clock.Uptime(), wall: d.wall, has: true}
	if step, set := a.clock.setBefore(clock); set {
		d.add("", record.Clock{Step: step})
	}
	d.then(func() { a.clock, a.barometer = clock, p.pressure.Fault != sensors.NotFitted })
	for _, b := range a.baths {
		f := record.Rounded(b.frameOf(p, d.at, d.wall))
		a.countFaults(b, f)
		d.poll(b, f)
		d.recalibrate(a, b, b.batch)
	}
	a.enterPersons(d)
	a.measure(d, p.places, p.samples)
	a.calibrateBy(d, p)
	a.missSiblings(d)
	a.witness(ctx, d)
	a.recordCuts(d)
	if err := a.commit(ctx, d); err != nil {
		// Nothing of this poll counts and nobody is told of it: pages go stale,
		// say so, and grow loud. The next poll tries again.
		a.opt.Logger.Error("record a poll", "error", err)
		return
	}
	a.tellCuts()
	a.thin(ctx)
	if a.metrics != nil {
		a.metrics.PollDone(p.took)
	}
}

// silence is the poll of wires that gave nothing, for a reason.
func (a *App) silence(why error) poll {
	fault := sensors.NotFitted
	if a.barometer {
		fault = sensors.Absent
	}
	return poll{pressure: sensors.Pressure{Fault: fault}, err: why}
}

func (a *App) countFaults(b *bath, f sensors.Frame) {
	if a.metrics == nil {
		return
	}
	for role, r := range f.Probes {
		if !r.OK() {
			a.metrics.ProbeFault(b.name, sensors.Role(role), r.Fault)
		}
	}
}

// draft begins a draft at this instant. Before all else it says how the site's clocks
// stand, if the record does not know yet: what follows is dated by that.
func (a *App) draft() *draft {
	d := a.begin()
	a.saySite(d)
	return d
}

// begin begins an empty draft at this instant.
func (a *App) begin() *draft {
	at := max(record.RoundedAt(a.uptimeOffset()), a.lastAt)
	wall := record.RoundedWall(a.opt.Clock.Wall())
	return &draft{at: at, wall: wall, day: a.today(wall)}
}

// uptimeOffset is the offset of this instant.
func (a *App) uptimeOffset() time.Duration { return a.base + a.opt.Clock.Uptime() }

// commit records a draft and then lets it count.
func (a *App) commit(ctx context.Context, d *draft) error {
	a.call(d)
	if d.err != nil {
		return d.err
	}
	if len(d.entries) == 0 {
		a.count(d, nil)
		return nil
	}
	a.checkpoint(d)
	began := time.Now()
	var entries []record.Entry
	err := a.settle(d, func() (err error) {
		// A draft that began is finished, whatever ends meanwhile.
		entries, err = a.record.Append(context.WithoutCancel(ctx), d.entries)
		return err
	})
	if err != nil {
		return err
	}
	if a.metrics != nil {
		a.metrics.CommitDone(time.Since(began))
	}
	a.lastAt = d.at
	a.count(d, entries)
	a.show()
	a.announce(d)
	if isCheckpoint := func(e record.Entry) bool { return e.Kind == record.KindCheckpoint }; slices.ContainsFunc(entries, isCheckpoint) {
		if err := a.publishCheckpoint(context.WithoutCancel(ctx)); err != nil {
			a.opt.Logger.Error("let a checkpoint be held elsewhere", "error", err)
		}
	}
	return nil
}

// count lets a draft count whose entries are on disk.
func (a *App) count(d *draft, entries []record.Entry) {
	a.mu.Lock()
	defer a.mu.Unlock()
	for _, f := range d.after {
		f()
	}
	for _, e := range entries {
		a.rememberEntry(e)
	}
}

// settle runs a commit. While it ends calls, nobody is called about them.
func (a *App) settle(d *draft, commit func() error) error {
	if a.phones == nil || len(d.ended) == 0 {
		return commit()
	}
	return a.phones.desk.Settle(d.ended, commit)
}

func (a *App) rememberEntry(e record.Entry) {
	if e.Kind == record.KindReading {
		return
	}
	if err := a.clocks.take(e); err != nil {
		a.opt.Logger.Error("read what the site is called", "error", err)
	}
	a.noteCorrection(e)
	a.keepBooks(e)
	if err := a.vouching.take(e); err != nil {
		a.opt.Logger.Error("read a checkpoint", "entry", e.Seq, "error", err)
	}
	a.keepGuides(e)
	if err := a.keepCalibration(e); err != nil {
		a.opt.Logger.Error("read a calibration", "entry", e.Seq, "error", err)
	}
	if err := a.keepPerson(e); err != nil {
		a.opt.Logger.Error("read who may come in", "entry", e.Seq, "error", err)
	}
	if err := a.keepBoil(e); err != nil {
		a.opt.Logger.Error("read how a bath boiled", "entry", e.Seq, "error", err)
	}
	if err := a.keepRecipe(e); err != nil {
		a.opt.Logger.Error("read a recipe", "entry", e.Seq, "error", err)
	}
	for _, b := range a.baths {
		if e.Bath != "" && e.Bath != b.name {
			continue
		}
		if err := b.past.remember(e, a.opt.Site.Units); err != nil {
			a.opt.Logger.Error("put an entry into words", "error", err)
		}
	}
}

// show makes the snapshots that pages, metrics and broker read.
func (a *App) show() {
	shown := make([]fold.Snapshot, 0, len(a.baths))
	for _, b := range a.baths {
		if b.cfg == nil {
			continue
		}
		s := b.state.Show(b.cfg, b.frame)
		s.Batch = b.batch
		shown = append(shown, s)
	}
	a.shown.Store(&shown)
	a.showPins(shown)
	a.hub.signal()
}

// announce tells the broker; the pages were signalled by show.
func (a *App) announce(d *draft) {
	if a.opt.Publisher == nil {
		return
	}
	var changes []publish.Change
	for _, c := range d.changes {
		for _, ch := range c.told.Changes.All() {
			changes = append(changes, publish.Change{
				Bath: c.bath.name, Wall: d.wall, Change: ch,
				Text:   rules.Say(ch.Alarm, ch.Finding, a.opt.Site.Units),
				Advice: rules.Advice(ch.Alarm),
			})
		}
	}
	a.opt.Publisher.Announce(a.Snapshots(), changes)
	if p, ok := a.opt.Publisher.(dropper); ok && a.metrics != nil {
		n := p.Dropped()
		a.metrics.AnnouncementsDropped("mqtt", int(n-a.dropped))
		a.dropped = n
	}
}

// wallWatch is both clocks at a recorded poll; two of them show that the wall
// clock was set in between.
type wallWatch struct {
	uptime time.Duration
	wall   time.Time
	has    bool
}

// setMoreThan is a step that no slewing clock makes between two polls.
const setMoreThan = 2 * time.Second

// setBefore reports by how much the wall clock was set between w and now.
func (w wallWatch) setBefore(now wallWatch) (step time.Duration, set bool) {
	if !w.has {
		return 0, false
	}
	step = now.wall.Sub(w.wall) - (now.uptime - w.uptime)
	return step, step > setMoreThan || step < -setMoreThan
}
