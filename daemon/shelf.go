package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"time"

	"bainward/daemon/app"
	"bainward/rules"
	"bainward/rules/batch/ledger"
)

type shelfCommand struct {
	kept
	Due    bool   `xor:"what" help:"Only the bottles that want something done: rancid, past their date, or to be smelled at; and a place that is too warm."`
	Lot    string `xor:"what" placeholder:"LOT" help:"What a lot of herb or oil went into: a recall."`
	Bottle string `xor:"what" placeholder:"ID" help:"One bottle, such as 2026-03-01-north-1/3: what stands behind it and where it went."`
	On     string `placeholder:"DAY" help:"As of this day, such as 2027-05-31; today if it is not said."`
	JSON   bool   `name:"json" help:"Write one JSON document for programs."`
}

// Run prints the shelf, what is due on it, a recall, or one bottle.
func (c *shelfCommand) Run(ctx context.Context, out io.Writer, log *slog.Logger) (err error) {
	var today ledger.Day
	if c.On != "" {
		if today, err = ledger.ParseDay(c.On); err != nil {
			return fmt.Errorf("look at the shelf: %w", err)
		}
	}
	b, err := c.open(ctx, log)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, b.record.Close()) }()
	clock, err := app.ReadClock(ctx, b.record, b.site)
	if err != nil {
		return err
	}
	if c.On == "" {
		today = ledger.DayAt(time.Now().In(clock))
	}
	u, err := b.units(ctx, "")
	if err != nil {
		return err
	}
	answer, text, err := c.answer(b.ledger, today, u, clock)
	if err != nil {
		return err
	}
	if c.JSON {
		return writeJSON(out, answer)
	}
	return writeText(out, text)
}

// answer looks up what was asked, for programs and for people.
func (c *shelfCommand) answer(l *ledger.Ledger, today ledger.Day, u rules.Units, clock *time.Location) (answer any, text string, err error) {
	switch {
	case c.Due:
		due := l.Due(today)
		places := l.PlacesDue()
		return map[string]any{"today": today, "due": due, "places": places}, dueText(due, places, today, u), nil
	case c.Lot != "":
		r, err := l.From(c.Lot)
		if err != nil {
			return nil, "", err
		}
		return r, recallText(r, u, clock), nil
	case c.Bottle != "":
		t, err := l.Trail(c.Bottle)
		if err != nil {
			return nil, "", err
		}
		return t, trailText(t, u, clock), nil
	}
	all := l.Shelf()
	places := l.PlacesNow()
	return map[string]any{"today": today, "bottles": all, "places": places}, shelfText(all, places, u, clock), nil
}
