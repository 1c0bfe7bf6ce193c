package app

import (
	"context"
	"errors"
	"fmt"

	"bainward/daemon/publish"
	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/fold"
)

// deed is something a person asks for. do drafts it; it runs in the loop.
type deed struct {
	bath   string
	do     func(ctx context.Context, d *draft, b *bath) error
	answer chan error
}

var errEnded = errors.New("the daemon is stopping; it was not entered")

// ask hands a deed to the loop and waits until it is recorded or refused.
func (a *App) ask(ctx context.Context, bath string, do func(context.Context, *draft, *bath) error) error {
	d := deed{bath: bath, do: do, answer: make(chan error, 1)}
	select {
	case a.deeds <- d:
	case <-a.ended:
		return errEnded
	case <-ctx.Done():
		return fmt.Errorf("the daemon did not take it in time: %w", ctx.Err())
	}
	select {
	case err := <-d.answer:
		return err
	case <-ctx.Done():
		return fmt.Errorf("no answer in time, look at the log whether it was entered: %w", ctx.Err())
	}
}

func (a *App) takeDeed(ctx context.Context, d deed) error {
	var b *bath
	if d.bath != "" { // else it concerns the site
		var err error
		if b, err = a.findBath(d.bath); err != nil {
			return err
		}
	}
	draft := a.draft()
	if err := d.do(ctx, draft, b); err != nil {
		return err
	}
	if err := a.commit(ctx, draft); err != nil {
		return fmt.Errorf("it could not be recorded and does not count: %w", err)
	}
	return nil
}

// Event enters what the maker did.
func (a *App) Event(ctx context.Context, bathName string, e rules.Event, who string) error {
	return a.ask(ctx, bathName, func(ctx context.Context, d *draft, b *bath) error {
		if err := b.allows(e); err != nil {
			return err
		}
		if err := a.recalibrateFor(ctx, d, b, e); err != nil {
			return err
		}
		state, batch := b.state, b.batch
		d.input(b, &state, &batch, rules.OfEvent(d.at, e), func() {
			d.add(b.name, record.EventOf(e, who, batch))
		})
		d.learn(b, b.state.Rules.Phase(), &state)
		d.then(func() {
			b.state, b.batch = state, batch
			if a.opt.Did != nil {
				a.opt.Did(b.name, e, who)
			}
		})
		return nil
	})
}

// allows refuses what cannot have happened, so that a slip is caught while the
// person still looks at it.
func (b *bath) allows(e rules.Event) error {
	phase := b.state.Rules.Phase()
	refuse := func(why string) error {
		return fmt.Errorf("%s does not fit now: the batch is %s; %s", e.Kind, phase, why)
	}
	open := b.state.Rules.Begun()
	switch e.Kind {
	case rules.TurnDown, rules.Strain:
		if !phase.Lit() {
			return refuse("it wants a lit bath")
		}
	case rules.TopUp, rules.Abandon:
		if !open {
			return refuse("nothing is in hand; fill begins a batch")
		}
	case rules.Light:
		if phase.Lit() {
			return refuse("it is lit already")
		}
	case rules.Bottle:
		if !open || phase.Lit() || phase == rules.Idle {
			return refuse("strain first")
		}
	case rules.Recharge:
		if !open || phase.Lit() || phase == rules.Idle {
			return refuse("a next maceration begins after straining")
		}
	}
	return nil
}

// Alarm carries out what a person asked of an alarm.
func (a *App) Alarm(ctx context.Context, bathName string, c alarm.Command, who string) error {
	return a.alarm(ctx, bathName, c, who, "page")
}

func (a *App) alarm(ctx context.Context, bathName string, c alarm.Command, who, via string) error {
	return a.ask(ctx, bathName, func(_ context.Context, d *draft, b *bath) error {
		d.by, d.via = who, via
		return d.command(b, c, who)
	})
}

// command drafts what a person does to an alarm.
func (d *draft) command(b *bath, c alarm.Command, who string) error {
	state, told, err := b.state.Do(d.at, c)
	if err != nil {
		return err
	}
	d.add(b.name, record.CommandOf(c, who))
	d.follow(b, &state, &told)
	d.then(func() { b.state = state })
	return nil
}

// Obey carries out what somebody at the broker asked for.
func (a *App) Obey(ctx context.Context, c publish.Command) error {
	who := c.Who
	if who == "" {
		who = "somebody at the broker"
	}
	if c.Event.Kind != rules.NoEvent {
		return a.Event(ctx, c.Bath, c.Event, who)
	}
	return a.alarm(ctx, c.Bath, c.Alarm, who, "mqtt")
}

// fixed reports whether the recipe of the batch in hand can no longer change.
func (b *bath) fixed() bool {
	return b.state.Rules.Begun() && b.state.Rules.Phase() != rules.Idle
}

var errNotInBatch = errors.New("only an event of the batch in hand can be taken back; write a note instead")

// Void takes an event back: the entry stays, a later one says that it is void,
// and the batch is folded again without it.
func (a *App) Void(ctx context.Context, bathName string, entry int64, reason, who string) error {
	return a.ask(ctx, bathName, func(ctx context.Context, d *draft, b *bath) error {
		if _, goods := a.books.Has(entry); goods {
			return a.takeBack(d, entry, reason, who)
		}
		past, err := a.without(ctx, b, entry)
		if err != nil {
			return err
		}
		d.add(b.name, record.Correction{Voids: entry, Reason: reason, By: who})
		state, told := b.state.Refold(past, d.at)
		d.follow(b, &state, &told)
		d.then(func() { b.state = state })
		return nil
	})
}

// without reads the inputs of a bath's open batch that still count, but for
// one entry, which must be an event among them.
func (a *App) without(ctx context.Context, b *bath, entry int64) ([]fold.Past, error) {
	if b.batch == "" {
		return nil, errNotInBatch
	}
	var all []numbered
	var cfg *rules.Config
	void := map[int64]bool{entry: true}
	found := false
	for e, err := range a.record.SinceBatch(ctx, b.name) {
		if err != nil {
			return nil, err
		}
		switch e.Kind {
		case record.KindConfig:
			var body record.Config
			if err := e.Decode(&body); err != nil {
				return nil, err
			}
			cfg = &body.Config
		case record.KindCorrection:
			var body record.Correction
			if err := e.Decode(&body); err != nil {
				return nil, err
			}
			if body.Voids == entry {
				return nil, fmt.Errorf("entry %d was taken back already", entry)
			}
			void[body.Voids] = true
		default:
			in, ok, err := e.Input()
			if err != nil {
				return nil, err
			}
			if ok {
				found = found || e.Seq == entry && in.Kind == rules.EventInput
				all = append(all, numbered{seq: e.Seq, Past: fold.Past{Config: cfg, Input: in}})
			}
		}
	}
	if !found {
		return nil, errNotInBatch
	}
	counts := make([]fold.Past, 0, len(all))
	for _, n := range all {
		if !void[n.seq] {
			counts = append(counts, n.Past)
		}
	}
	return counts, nil
}
