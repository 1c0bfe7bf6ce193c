package app

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/notice"
	"bainward/daemon/record"
	"bainward/daemon/web"
	"bainward/rules/alarm"
)

// provenFor is how long a proof counts. A phone changes hands, a token runs out
// and a router is replaced within weeks; nobody cooks on a proof older than that
// (our own choice, no source).
const provenFor = 7 * 24 * time.Hour

// Ready reports whether alarms were proven to reach a person lately.
func (a *App) Ready() (ok bool, why string) {
	now := a.opt.Clock.Wall()
	proofs := a.Proofs()
	if len(proofs) == 0 {
		return false, "nobody is called: the site file names no contact"
	}
	good := 0
	for _, p := range proofs {
		if !p.LastGood.IsZero() && now.Sub(p.LastGood) <= provenFor && !p.Failed() {
			good++
		}
	}
	switch {
	case good == 0:
		return false, "no alarm channel has been proven in the last 7 days; test the alarms"
	case good < len(proofs):
		return true, fmt.Sprintf("%d of %d ways to reach a person were proven in the last 7 days", good, len(proofs))
	}
	return true, "every way to reach a person was proven in the last 7 days"
}

// Proofs lists every way to every person and when it last worked.
func (a *App) Proofs() []web.Proof {
	p := a.phones
	a.mu.RLock()
	defer a.mu.RUnlock()
	var all []web.Proof
	for _, w := range p.everyWay() {
		one := web.Proof{Channel: w.channel, Contact: w.contact, Kind: p.Kinds[w.channel]}
		if k := p.shown.ways[w]; k != nil {
			one.LastTried, one.LastGood, one.Answer = k.tried, k.good, k.answer
		}
		all = append(all, one)
	}
	return all
}

// everybody stands for the person in what a buzzer or a lamp tells.
const everybody = "everybody near"

// everyWay lists the channels of the contacts, in the order in which they are
// called, and then the pins, which are nobody's.
func (p *phones) everyWay() []way {
	var all []way
	for _, c := range p.Plan.Contacts {
		for _, channel := range c.Channels {
			all = append(all, way{c.Name, channel})
		}
	}
	for _, out := range p.Pins {
		all = append(all, way{everybody, out.Name()})
	}
	return all
}

// proofWait bounds one proof: the person who asked stands there and waits.
const proofWait = 20 * time.Second

// TestAlarm sends a proof through every channel to every person at once, and
// records who asked and what the far ends say, as it records alarms.
func (a *App) TestAlarm(ctx context.Context, who string) ([]web.Proof, error) {
	ways := a.phones.everyWay()
	due := make([]calls.Due, 0, len(ways))
	err := a.ask(ctx, "", func(_ context.Context, d *draft, _ *bath) error {
		for i, w := range ways {
			p := a.proof(d, i, w)
			due = append(due, p)
			bath, body := bodyOf(p)
			asked := body.(record.Notice)
			asked.By = orSomebody(who)
			d.add(bath, asked)
		}
		d.then(func() { a.takeFacts(d, due) })
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("test the alarms: %w", err)
	}
	went := a.sendProofs(ctx, due)
	err = a.ask(context.WithoutCancel(ctx), "", func(_ context.Context, d *draft, _ *bath) error {
		for _, t := range went {
			d.fact(t)
		}
		d.then(func() {
			for _, t := range went {
				a.phones.shown.take(d.at, d.wall, t)
			}
		})
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("record the test of the alarms: %w", err)
	}
	return a.Proofs(), nil
}

// fact drafts the entry of a fact that the book of calls need not hear of.
func (d *draft) fact(f calls.Fact) {
	bath, body := bodyOf(f)
	d.add(bath, body)
}

func (a *App) takeFacts(d *draft, due []calls.Due) {
	for _, p := range due {
		a.phones.shown.take(d.at, d.wall, p)
	}
}

func (a *App) proof(d *draft, i int, w way) calls.Due {
	return calls.Due{Notice: notice.Notice{
		ID:      fmt.Sprintf("p%d-%d", d.at.Milliseconds(), i+1),
		Contact: w.contact, Channel: w.channel, Kind: notice.Proof, Site: a.opt.Site.Name,
		Priority: alarm.Medium, Wall: d.wall,
		Title: "Test of the alarms",
		Text:  "This is a test from " + a.opt.Site.Name + ". If a bath were in trouble, you would be told here. Nothing to do.",
	}}
}

// sendProofs sends all at once, past the desk's lines: what hangs there must not
// keep a proof of the others.
func (a *App) sendProofs(ctx context.Context, due []calls.Due) []calls.Tried {
	went := make([]calls.Tried, len(due))
	var all sync.WaitGroup
	for i, p := range due {
		all.Go(func() {
			ctx, cancel := context.WithTimeout(ctx, proofWait)
			defer cancel()
			answer, err := a.prove(ctx, p.Notice)
			went[i] = calls.Tried{Notice: p.ID, Try: 1, Result: calls.Delivered, Said: notice.Clean(answer, a.phones.Secrets...)}
			if err != nil {
				went[i].Result, went[i].Said = calls.GaveUp, notice.Clean(err.Error(), a.phones.Secrets...)
			}
		})
	}
	all.Wait()
	return went
}

func (a *App) prove(ctx context.Context, n notice.Notice) (string, error) {
	for _, out := range a.phones.Pins {
		if out.Name() == n.Channel {
			return out.Prove(ctx)
		}
	}
	i := slices.IndexFunc(a.phones.Channels, func(c notice.Channel) bool { return c.Name() == n.Channel })
	if i < 0 {
		return "", fmt.Errorf("there is no channel %s", n.Channel)
	}
	return sendOnce(ctx, a.phones.Channels[i], n)
}

// sendOnce calls a channel, and lets go of one that does not heed the end of ctx
// or panics: the desk does the same.
func sendOnce(ctx context.Context, c notice.Channel, n notice.Notice) (string, error) {
	type reply struct {
		answer string
		err    error
	}
	done := make(chan reply, 1)
	go func() {
		var r reply
		defer func() {
			if p := recover(); p != nil {
				r = reply{err: fmt.Errorf("the channel panicked: %v", p)}
			}
			done <- r
		}()
		r.answer, r.err = c.Send(ctx, n)
	}()
	select {
	case r := <-done:
		return r.answer, r.err
	case <-ctx.Done():
	}
	select { // it may be about to say why
	case r := <-done:
		return r.answer, r.err
	case <-time.After(time.Second):
		return "", fmt.Errorf("no answer within %s", proofWait)
	}
}
