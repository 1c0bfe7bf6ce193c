package app

import (
	"context"
	"time"

	"bainward/daemon/record"
	"bainward/rules"
)

// thinEvery is how often old readings are looked for. They are days or years old,
// so that an hour more does not matter.
const thinEvery = time.Hour

// thin thins out some old readings, if the site file asks for it and no bath is
// lit: a commit of it is larger than that of a poll, and no alarm may wait for it.
func (a *App) thin(ctx context.Context) {
	t := a.opt.Site.Thin
	if t.After <= 0 || a.lastAt < a.thinAt || a.anyLit() {
		return
	}
	d := a.draft()
	e, ok, err := a.record.Thin(context.WithoutCancel(ctx), d.at, d.wall, record.Thinning{Before: d.wall.Add(-t.After), Every: t.Every})
	if err != nil {
		a.opt.Logger.Error("thin out old readings", "error", err)
	}
	if !ok {
		a.thinAt = a.lastAt + thinEvery
		return
	}
	a.lastAt = e.At
	a.count(d, []record.Entry{e})
}

func (a *App) anyLit() bool {
	for _, b := range a.baths {
		if p := b.state.Rules.Phase(); p.Lit() || p != rules.Idle && b.batch != "" {
			return true
		}
	}
	return false
}
