package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"bainward/daemon/record"
	"bainward/daemon/site"
	"bainward/rules/tally"
)

type figuresCommand struct {
	Record string `placeholder:"DIR" help:"Folder of the record; else $STATE_DIRECTORY/record, or bainward-record here."`
	Bath   string `placeholder:"NAME" help:"Show this bath alone; else each bath and the site as a whole."`
	Month  string `placeholder:"YYYY-MM" help:"Show this month alone, in UTC; else each month and all of the record."`
	JSON   bool   `name:"json" help:"Write JSON Lines for programs."`
}

// Run prints how well the alarms do their work, beside the targets of the
// standards. It reads the record, also while the daemon writes it.
func (c *figuresCommand) Run(ctx context.Context, out io.Writer) (err error) {
	month, err := parseMonth(c.Month)
	if err != nil {
		return err
	}
	dir := c.Record
	if dir == "" {
		dir = (&site.Site{}).RecordFolder(os.Getenv("STATE_DIRECTORY"))
	}
	r, err := record.OpenReader(dir)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, r.Close()) }()
	l, err := readLedger(ctx, r)
	if err != nil {
		return fmt.Errorf("read the alarms of %s: %w", dir, err)
	}
	months, err := monthsOf(l, month)
	if err != nil {
		return err
	}
	baths, err := bathsOf(l, c.Bath)
	if err != nil {
		return err
	}
	w := bufio.NewWriter(out)
	write := writeFigures
	if c.JSON {
		write = writeFiguresJSON
	}
	for _, m := range months {
		if err := write(w, m, baths, l); err != nil {
			return err
		}
	}
	if !c.JSON {
		fmt.Fprint(w, figuresNotes)
	}
	if err := w.Flush(); err != nil {
		return fmt.Errorf("write the figures: %w", err)
	}
	return nil
}

func parseMonth(s string) (tally.Month, error) {
	if s == "" {
		return tally.Month{}, nil
	}
	t, err := time.Parse("2006-01", s)
	if err != nil {
		return tally.Month{}, fmt.Errorf("figures of month %q: want a year and a month such as 2026-11", s)
	}
	return tally.Month{Year: t.Year(), Month: t.Month()}, nil
}

// readLedger goes through the whole record, readings and all: they show when the
// daemon watched.
func readLedger(ctx context.Context, r *record.Reader) (*tally.Ledger, error) {
	var l tally.Ledger
	for e, err := range r.Entries(ctx, 1, 0) {
		if err != nil {
			return nil, err
		}
		if err := enter(&l, e); err != nil {
			return nil, err
		}
	}
	return &l, nil
}

func enter(l *tally.Ledger, e record.Entry) error {
	if e.Kind == record.KindRestart {
		l.Restart(e.At, e.Wall)
		return nil
	}
	l.Seen(e.At, e.Wall)
	if e.Bath != "" {
		l.Heard(e.Bath)
	}
	switch e.Kind {
	case record.KindAlarm:
		var b record.Alarm
		if err := e.Decode(&b); err != nil {
			return err
		}
		c, err := b.Change()
		l.Change(e.Bath, e.At, e.Wall, c)
		return err
	case record.KindCommand:
		var b record.Command
		if err := e.Decode(&b); err != nil {
			return err
		}
		c, err := b.Command()
		l.Command(e.Bath, e.At, c)
		return err
	case record.KindBatch:
		var b record.Batch
		if err := e.Decode(&b); err != nil {
			return err
		}
		l.Batch(e.Bath, e.At, b.State == record.Opened)
	case record.KindPhase:
		var b record.Phase
		if err := e.Decode(&b); err != nil {
			return err
		}
		p, err := b.In()
		l.Phase(e.Bath, e.At, p)
		return err
	}
	return nil
}

// monthsOf lists the months to show; the zero Month is all of the record.
func monthsOf(l *tally.Ledger, asked tally.Month) ([]tally.Month, error) {
	all := l.Months()
	switch {
	case len(all) == 0:
		return nil, errors.New("figures: the record holds nothing yet")
	case asked == (tally.Month{}) && len(all) > 1:
		return append(all, tally.Month{}), nil
	case asked == (tally.Month{}):
		return all, nil
	case !slices.Contains(all, asked):
		return nil, fmt.Errorf("figures of %s: nothing was watched then; the record goes from %s to %s", monthWords(asked), monthWords(all[0]), monthWords(all[len(all)-1]))
	}
	return []tally.Month{asked}, nil
}

// bathsOf lists the columns to show; the empty name is the site as a whole.
func bathsOf(l *tally.Ledger, asked string) ([]string, error) {
	all := l.Baths()
	switch {
	case asked == "" && len(all) == 1:
		return all, nil
	case asked == "":
		return append(all, ""), nil
	case len(all) == 0:
		return nil, fmt.Errorf("figures of bath %q: the record knows no bath yet", asked)
	case !slices.Contains(all, asked):
		return nil, fmt.Errorf("figures of bath %q: the record knows %s", asked, strings.Join(all, ", "))
	}
	return []string{asked}, nil
}
