package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"time"

	"bainward/daemon/app"
	"bainward/rules"
)

type demoCommand struct {
	Speed  float64 `default:"60" placeholder:"N" help:"How many times faster than the clock the baths run; 1 is real time. (${default})"`
	Keep   string  `placeholder:"DIR" help:"Keep the record in this folder; without it nothing is left behind."`
	Listen string  `default:"127.0.0.1:8470" placeholder:"ADDR" help:"Where the pages are served. (${default})"`
	For    string  `placeholder:"DURATION" help:"End by itself after this much time of the story, such as 2h."`
}

// maxSpeed is where a poll of two probes a simulated second still fits into
// the real time that it has.
const maxSpeed = 120

// Run plays a whole story on two invented baths: the real drivers read
// emulated chips whose temperatures a simulated bath sets.
func (c *demoCommand) Run(ctx context.Context, out io.Writer, log *slog.Logger) (err error) {
	if !(c.Speed >= 0.1 && c.Speed <= maxSpeed) {
		return fmt.Errorf("run the demo at speed %v: want 0.1 to %d", c.Speed, maxSpeed)
	}
	until, err := parseFor(c.For)
	if err != nil {
		return err
	}
	if err := checkKeep(c.Keep); err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "bainward-demo-")
	if err != nil {
		return fmt.Errorf("make a folder for the demo: %w", err)
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	yard, err := newYard(filepath.Join(dir, "w1"), c.Speed)
	if err != nil {
		return fmt.Errorf("set up the demo: %w", err)
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	yard.until, yard.over = until, cancel
	record := c.Keep
	if record == "" {
		record = filepath.Join(dir, "record")
	}
	a, err := app.New(ctx, app.Options{
		Site: yard.site, Source: yard.source, Barometer: yard.barometer, RecordDir: record, Listen: c.Listen,
		Every: time.Duration(float64(time.Second) / c.Speed), Clock: yard.clock(), Logger: log,
		Version: version(), Demo: c.Speed, Before: yard.advance, Did: yard.did,
		Phones: inventedPhones(out, "http://"+c.Listen),
		Ready: func(address string) {
			fmt.Fprintf(out, "Alder Yard is invented: two simulated baths at %gx, read through the real drivers.\n", c.Speed)
			fmt.Fprintf(out, "Open %s and watch; Ctrl-C ends it.\n", address)
		},
	})
	if err != nil {
		return err
	}
	yard.choose = func(bath, recipe string) {
		if err := a.Recipe(ctx, bath, recipe, storyteller); err != nil && ctx.Err() == nil {
			log.Warn("the story could not choose a recipe", "bath", bath, "recipe", recipe, "error", err)
		}
	}
	yard.enter = func(bath string, e rules.Event) {
		if err := a.Event(ctx, bath, e, storyteller); err != nil && ctx.Err() == nil {
			log.Warn("the story could not enter an event", "bath", bath, "event", e.String(), "error", err)
		}
		for _, f := range goodsAt(bath, batchIn(a, bath), e, yard.began) {
			if _, err := a.Enter(ctx, f, storyteller); err != nil && ctx.Err() == nil {
				log.Warn("the story could not enter goods", "bath", bath, "goods", f.String(), "error", err)
			}
		}
	}
	if err := a.Run(ctx); err != nil {
		return err
	}
	if c.Keep != "" {
		fmt.Fprintf(out, "The record is in %s.\n", c.Keep)
	}
	return nil
}

// batchIn is the number of the batch in a bath; empty if there is none.
func batchIn(a *app.App, bath string) string {
	for _, s := range a.Snapshots() {
		if s.Bath == bath {
			return s.Batch
		}
	}
	return ""
}

// checkKeep refuses a folder that holds something already: an invented story
// must never be told into the record of a real bath.
func checkKeep(dir string) error {
	if dir == "" {
		return nil
	}
	there, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return fmt.Errorf("keep the demo's record in %q: %w: name a folder that is not there yet", dir, err)
	case len(there) > 0:
		return fmt.Errorf("keep the demo's record in %q: it is not empty: name a folder that is not there yet", dir)
	}
	return nil
}

func parseFor(s string) (time.Duration, error) {
	if s == "" {
		return 0, nil
	}
	d, err := time.ParseDuration(s)
	if err != nil || d <= 0 {
		return 0, fmt.Errorf("end the demo after %q: want a duration such as 90m or 2h", s)
	}
	return d, nil
}
