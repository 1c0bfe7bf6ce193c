package app

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"bainward/daemon/phone"
	"bainward/daemon/phone/calls"
	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/fold"
)

// resume puts the offsets on from where the record ends, and brings every bath
// to where it stood by folding its open batch again.
func (a *App) resume(ctx context.Context) error {
	end, err := a.record.Last(ctx)
	if err != nil {
		return fmt.Errorf("resume: %w", err)
	}
	restart, err := a.goOn(ctx, end)
	if err != nil {
		return fmt.Errorf("resume: %w", err)
	}
	if err := a.openRecipes(ctx); err != nil {
		return fmt.Errorf("resume the recipes: %w", err)
	}
	for _, b := range a.baths {
		if err := a.refold(ctx, b); err != nil {
			return fmt.Errorf("resume bath %s: %w", b.name, err)
		}
	}
	if err := a.openBooks(ctx); err != nil {
		return fmt.Errorf("resume the books of goods: %w", err)
	}
	if err := a.openGuides(ctx); err != nil {
		return fmt.Errorf("resume the guide: %w", err)
	}
	if err := a.recall(ctx); err != nil {
		return fmt.Errorf("resume the calls: %w", err)
	}
	if err := a.openCheckpoints(ctx); err != nil {
		return fmt.Errorf("resume the checkpoints: %w", err)
	}
	if err := errors.Join(a.openCalibrations(ctx), a.openBoils(ctx), a.openCalibrating(ctx)); err != nil {
		return fmt.Errorf("resume what is known of the probes: %w", err)
	}
	if err := a.openPersons(ctx); err != nil {
		return fmt.Errorf("resume who may come in: %w", err)
	}
	if err := errors.Join(a.openVouching(ctx), a.openWitnesses(ctx)); err != nil {
		return fmt.Errorf("resume watching over records: %w", err)
	}
	if err := a.startAgain(ctx, restart); err != nil {
		return err
	}
	a.handAgain()
	return a.publishCheckpoint(ctx)
}

// recall folds the calls of the last days again.
func (a *App) recall(ctx context.Context) error {
	if a.phones == nil {
		return nil
	}
	for e, err := range a.record.Calls(ctx) {
		if err != nil {
			return err
		}
		if err := a.phones.remember(e); err != nil {
			return fmt.Errorf("entry %d: %w", e.Seq, err)
		}
	}
	a.phones.shown.open = a.phones.book.Open()
	return nil
}

// handAgain gives the desk what had not arrived before the restart.
func (a *App) handAgain() {
	if a.phones == nil {
		return
	}
	for _, w := range a.phones.book.Waiting() {
		a.phones.desk.Hand(phone.Resumed(w, a.lastAt))
	}
}

// goOn fixes the base of the offsets. After a restart of the daemon alone the
// machine's uptime tells exactly how long it was away; after a restart of the
// machine only the wall clock does, and it may be wrong.
func (a *App) goOn(ctx context.Context, end record.End) (record.Restart, error) {
	uptime := a.opt.Clock.Uptime()
	r := record.Restart{Boot: a.opt.Clock.Boot, Version: a.opt.Version, Uptime: uptime, GapKnown: true}
	a.lastAt = end.At
	if end.Seq == 0 {
		a.base = -uptime
		return r, nil
	}
	last, ok, err := a.record.LastOf(ctx, "", record.KindRestart)
	if err != nil {
		return r, err
	}
	var before record.Restart
	if ok {
		if err := last.Decode(&before); err != nil {
			return r, err
		}
	}
	if ok && before.Boot != "" && before.Boot == r.Boot && uptime >= before.Uptime {
		a.base = last.At - before.Uptime
		if away := a.base + uptime - end.At; away >= 0 {
			r.Downtime = away
			return r, nil
		}
	}
	r.GapKnown = false
	r.Downtime = max(time.Second, a.opt.Clock.Wall().Sub(end.Wall))
	a.base = end.At + r.Downtime - uptime
	return r, nil
}

// startAgain records the restart and folds it into every bath, with the
// configs that changed since.
func (a *App) startAgain(ctx context.Context, restart record.Restart) error {
	d := a.begin()
	a.newKey(d)
	d.add("", restart)
	a.saySite(d)
	a.enterPersons(d)
	if a.door == nil {
		a.nobodySignsIn(d)
	}
	a.endedByItself(d)
	a.beginPlaces(d)
	for _, b := range a.baths {
		in := rules.Input{Kind: rules.RestartInput, At: d.at, GapKnown: restart.GapKnown}
		state, told := b.state.Step(b.cfg, in)
		d.follow(b, &state, &told) // a shelf may have ended meanwhile
		d.standAll(b, &state)
		d.then(func() { b.state = state })
		if err := a.sameConfig(d, b); err != nil {
			return err
		}
	}
	return a.commit(ctx, d)
}

// standAll tells those who are called how every alarm stands: a call whose alarm
// is forgotten ends, one that is missing is opened.
func (d *draft) standAll(b *bath, state *fold.Bath) {
	for id := range rules.IDCount {
		d.happened = append(d.happened, calls.Changed{Bath: b.name, Change: alarm.Change{
			Alarm: id, To: state.Alarms.State(id), Priority: alarm.Of(id).Priority, Finding: state.Alarms.Finding(id),
		}})
	}
}

// sameConfig takes the site file's config for a bath, and drafts an entry if it
// differs from the one that the record says held last. What a batch in hand is made
// by stays as it was chosen, whatever became of the recipe in the site file or on the
// page, and so does a retired recipe until another is chosen.
func (a *App) sameConfig(d *draft, b *bath) error {
	held := b.cfg
	recipe := ""
	if held != nil {
		recipe = held.Recipe.Name
	}
	now, err := a.configOf(b, recipe)
	if err != nil {
		if now, err = a.configOf(b, ""); err != nil {
			return err
		}
	}
	if held != nil && now.Recipe != held.Recipe {
		if b.state.Rules.Begun() || a.recipes().retired(recipe) {
			now.Recipe, now.Limits = held.Recipe, held.Limits
		} else {
			a.opt.Logger.Warn("the recipe of a bath is another than before", "bath", b.name, "before", recipe, "now", now.Recipe.Name)
		}
	}
	if held != nil && *held == now {
		return nil
	}
	d.add(b.name, record.Config{Config: now})
	d.then(func() { b.cfg = &now })
	return nil
}

// refold reads the open batch of a bath back from the record.
func (a *App) refold(ctx context.Context, b *bath) error {
	batches, err := a.record.Batches(ctx)
	if err != nil {
		return err
	}
	for _, n := range batches {
		if n.Opened.Bath == b.name || n.Closed.Bath == b.name {
			b.past.opened(n.Batch.Number)
		}
	}
	open, ok, err := a.record.OpenBatch(ctx, b.name)
	if err != nil {
		return err
	}
	if ok {
		var body record.Batch
		if err := open.Decode(&body); err != nil {
			return err
		}
		b.batch = body.Number
	}
	f := folder{bath: b, units: a.opt.Site.Units}
	for e, err := range a.record.SinceBatch(ctx, b.name) {
		if err != nil {
			return err
		}
		if err := f.take(e); err != nil {
			return fmt.Errorf("entry %d: %w", e.Seq, err)
		}
	}
	b.cfg = f.cfg
	return nil
}

// folder folds the entries of one batch, in order.
type folder struct {
	bath  *bath
	units rules.Units
	cfg   *rules.Config
	past  []numbered
}

// numbered is an input with the number of its entry.
type numbered struct {
	seq  int64
	void bool
	fold.Past
}

func (f *folder) take(e record.Entry) error {
	b := f.bath
	switch e.Kind {
	case record.KindConfig:
		var body record.Config
		if err := e.Decode(&body); err != nil {
			return err
		}
		f.cfg = &body.Config
	case record.KindCommand:
		var body record.Command
		if err := e.Decode(&body); err != nil {
			return err
		}
		c, err := body.Command()
		if err != nil {
			return err
		}
		// What was recorded was allowed then, so an error here means that the
		// fold went another way than it did: worth stopping for.
		if b.state, _, err = b.state.Do(e.At, c); err != nil {
			return err
		}
	case record.KindCorrection:
		var body record.Correction
		if err := e.Decode(&body); err != nil {
			return err
		}
		f.void(body.Voids, e.At)
	default:
		in, ok, err := e.Input()
		if err != nil {
			return err
		}
		if ok && f.cfg != nil {
			f.past = append(f.past, numbered{seq: e.Seq, Past: fold.Past{Config: f.cfg, Input: in}})
			b.state, _ = b.state.Step(f.cfg, in)
			if in.Kind == rules.FrameInput {
				b.frame = in.Frame
				b.past.point(&b.state, f.cfg, in.Frame)
			}
		}
	}
	return b.past.remember(e, f.units)
}

// void takes an input out of the batch and folds the rest again. A correction of
// goods takes no input out, and folds nothing.
func (f *folder) void(seq int64, at time.Duration) {
	if !slices.ContainsFunc(f.past, func(n numbered) bool { return n.seq == seq }) {
		return
	}
	var counts []fold.Past
	for i := range f.past {
		if f.past[i].seq == seq {
			f.past[i].void = true
		}
		if !f.past[i].void {
			counts = append(counts, f.past[i].Past)
		}
	}
	f.bath.state, _ = f.bath.state.Refold(counts, at)
}
