package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"

	"bainward/daemon/app"
	"bainward/daemon/record"
	"bainward/daemon/site"
	"bainward/rules"
	"bainward/rules/batch/ledger"
)

// batchCommand looks back at what was made.
type batchCommand struct {
	List  batchListCommand  `cmd:"" help:"List the batches of the record, the oldest first."`
	Show  batchShowCommand  `cmd:"" help:"Print all there is to say of a batch: what it was made of, how it went, what became of it."`
	Sheet batchSheetCommand `cmd:"" help:"Draw the sheet of a batch as a PDF, from the record alone."`
	Label batchLabelCommand `cmd:"" help:"Say what stands on the labels of a batch, bottle by bottle, and what they lack; or draw them."`
}

// kept says where the record is that a command reads. The daemon may be writing to
// it meanwhile.
type kept struct {
	Site   string `placeholder:"FILE" help:"The site file: it says where the record is, and in which units people read."`
	Record string `placeholder:"DIR" help:"Folder of the record; else the site file's, $$STATE_DIRECTORY/record, or bainward-record here."`
}

// books are an open record with the books of goods in it.
type books struct {
	record *record.Reader
	site   *site.Site // nil: no site file was named
	ledger *ledger.Ledger
}

// open opens the record and reads the books. What does not fit in them is told to
// log, and left out.
func (k kept) open(ctx context.Context, log *slog.Logger) (b books, err error) {
	place := &site.Site{}
	if k.Site != "" {
		if b.site, err = site.Load(k.Site); err != nil {
			return b, err
		}
		place = b.site
	}
	dir := k.Record
	if dir == "" {
		dir = place.RecordFolder(os.Getenv("STATE_DIRECTORY"))
	}
	if b.record, err = record.OpenReader(dir); err != nil {
		return b, err
	}
	l, misfits, err := app.ReadBooks(ctx, b.record)
	if err != nil {
		return b, errors.Join(fmt.Errorf("read the books of %s: %w", dir, err), b.record.Close())
	}
	for _, misfit := range misfits {
		log.Warn("read the books of goods", "error", misfit)
	}
	b.ledger = l
	return b, nil
}

// units are the site's; without a site file those that the record names for the
// bath, which is empty for the first that it knows.
func (b books) units(ctx context.Context, bath string) (rules.Units, error) {
	if b.site != nil {
		return b.site.Units, nil
	}
	if bath == "" {
		all := b.ledger.Batches()
		if len(all) == 0 {
			return rules.Metric, nil
		}
		bath = all[0].Bath
	}
	e, ok, err := b.record.LastOf(ctx, bath, record.KindConfig)
	if err != nil || !ok {
		return rules.Metric, err
	}
	var c record.Config
	err = e.Decode(&c)
	return c.Units, err
}

type batchListCommand struct {
	kept
	JSON bool `name:"json" help:"Write one JSON document for programs."`
}

// Run lists the batches.
func (c *batchListCommand) Run(ctx context.Context, out io.Writer, log *slog.Logger) (err error) {
	b, err := c.open(ctx, log)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, b.record.Close()) }()
	all := b.ledger.Batches()
	if c.JSON {
		return writeJSON(out, map[string]any{"batches": all})
	}
	u, err := b.units(ctx, "")
	if err != nil {
		return err
	}
	clock, err := app.ReadClock(ctx, b.record, b.site)
	if err != nil {
		return err
	}
	return writeText(out, batchTable(all, u, clock))
}

type batchShowCommand struct {
	kept
	Number string `arg:"" name:"number" help:"The batch, such as 2026-03-01-north-1."`
	JSON   bool   `name:"json" help:"Write one JSON document for programs."`
}

// Run prints one batch.
func (c *batchShowCommand) Run(ctx context.Context, out io.Writer, log *slog.Logger) (err error) {
	b, err := c.open(ctx, log)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, b.record.Close()) }()
	var s ledger.Sheet
	if s.Account, err = b.ledger.Account(c.Number); err != nil {
		return err
	}
	if s.Course, err = app.ReadCourse(ctx, b.record, c.Number); err != nil {
		return err
	}
	if c.JSON {
		return writeJSON(out, s)
	}
	u, err := b.units(ctx, s.Bath)
	if err != nil {
		return err
	}
	clock, err := app.ReadClock(ctx, b.record, b.site)
	if err != nil {
		return err
	}
	return writeText(out, batchText(s, u, clock))
}

func writeJSON(out io.Writer, v any) error {
	if err := json.NewEncoder(out).Encode(v); err != nil {
		return fmt.Errorf("write the answer: %w", err)
	}
	return nil
}

func writeText(out io.Writer, s string) error {
	if _, err := io.WriteString(out, s); err != nil {
		return fmt.Errorf("write the answer: %w", err)
	}
	return nil
}
