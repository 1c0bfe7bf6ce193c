package app

import (
	"context"
	"errors"
	"slices"
	"strings"

	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/link"
	"bainward/daemon/web"
	"bainward/rules"
	"bainward/rules/alarm"
)

// Answering by a link, and what the pages show of the calls. These are the
// methods of web.Phones.

// ticket reads a link and finds which of its calls still wait for an answer.
func (a *App) ticket(token string) (link.Ticket, []calls.Call, error) {
	p := a.phones
	if p.Links == nil {
		return link.Ticket{}, nil, web.ErrNoSuchLink
	}
	t, err := p.Links.Read(token, a.opt.Clock.Wall())
	switch {
	case errors.Is(err, link.ErrEnded):
		return t, nil, web.ErrLinkOver
	case err != nil:
		return t, nil, web.ErrNoSuchLink
	}
	ids := strings.Split(t.Call, "\n")
	a.mu.RLock()
	defer a.mu.RUnlock()
	var open []calls.Call
	for _, c := range p.shown.open {
		if slices.Contains(ids, c.ID) {
			open = append(open, c)
		}
	}
	if len(open) == 0 {
		return t, nil, web.ErrLinkOver
	}
	slices.SortStableFunc(open, func(x, y calls.Call) int { return int(y.Priority) - int(x.Priority) })
	return t, open, nil
}

// LookUp says what a link asks, and changes nothing.
func (a *App) LookUp(_ context.Context, token string) (web.Question, error) {
	t, open, err := a.ticket(token)
	if err != nil {
		return web.Question{}, err
	}
	c := open[0]
	q := web.Question{Bath: c.Bath, Alarm: c.What, Priority: c.Priority.String(), Since: c.Wall, Contact: t.Contact}
	q.Text, q.Advice = a.saidOf(c)
	if id, known := rules.ParseID(c.What); known && c.Bath != "" {
		q.Within = alarm.CardOf(id, &a.opt.Site.Limits, a.opt.Site.Units).Within
	}
	for _, other := range open[1:] {
		q.Text += " Also: " + nameOf(other) + "."
	}
	return q, nil
}

// saidOf is what is wrong, with the numbers of this instant, and what to do.
func (a *App) saidOf(c calls.Call) (text, advice string) {
	id, known := rules.ParseID(c.What)
	for _, s := range a.Snapshots() {
		if known && s.Bath == c.Bath {
			return s.Alarms[id].Text, rules.Advice(id)
		}
	}
	return c.What, ""
}

func nameOf(c calls.Call) string {
	if c.Bath == "" {
		return c.What
	}
	return c.Bath + " " + c.What
}

// Answer acknowledges the alarms of a link.
func (a *App) Answer(ctx context.Context, token, who string) (web.Answered, error) {
	t, open, err := a.ticket(token)
	if err != nil {
		return web.Answered{}, err
	}
	if who == "" {
		who = t.Contact
	}
	var done []string
	for _, c := range open {
		if err := a.answerCall(ctx, c, who); err != nil {
			if len(done) == 0 {
				return web.Answered{}, err
			}
			a.opt.Logger.Warn("answer the rest of a link", "call", c.ID, "error", err)
			continue
		}
		done = append(done, nameOf(c))
	}
	return web.Answered{
		Bath: open[0].Bath, Alarm: open[0].What,
		Text: "Answered by " + who + ": " + strings.Join(done, ", ") + ". Nobody is called about it any more. Now look at the bath.",
	}, nil
}

// answerCall acknowledges the alarm of one call, if it still waits.
func (a *App) answerCall(ctx context.Context, c calls.Call, who string) error {
	return a.ask(ctx, c.Bath, func(_ context.Context, d *draft, b *bath) error {
		if !slices.ContainsFunc(a.phones.book.Open(), func(o calls.Call) bool { return o.ID == c.ID }) {
			return web.ErrLinkOver // another finger was quicker
		}
		d.by, d.via = who, "link"
		id, known := rules.ParseID(c.What)
		if b == nil || !known {
			d.happened = append(d.happened, calls.Answered{Call: c.ID, Who: who, Via: "link"})
			return nil
		}
		return d.command(b, alarm.Command{Alarm: id, Action: alarm.Acknowledge}, who)
	})
}

// Calls lists the calls of late for the pages, the newest first; answered ones
// say by whom.
func (a *App) Calls() []web.Call {
	a.mu.RLock()
	defer a.mu.RUnlock()
	l := &a.phones.shown
	var all []web.Call
	for i := len(l.calls) - 1; i >= 0; i-- {
		c := l.calls[i].Call
		c.Told = slices.Clone(c.Told)
		all = append(all, c)
	}
	return all
}
