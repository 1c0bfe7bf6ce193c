package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"strings"

	"bainward/daemon/app"
	"bainward/daemon/record/handover"
	"bainward/daemon/site"
)

type recordExportCommand struct {
	kept
	Number string `arg:"" name:"number" help:"The batch, such as 2026-03-01-north-1."`
	Out    string `short:"o" required:"" placeholder:"PATH" help:"The folder to make; or, if it ends in .zip, one file that holds it."`
}

// Run writes all there is of a batch into a folder or a zip that stands alone.
func (c *recordExportCommand) Run(ctx context.Context, out io.Writer, log *slog.Logger) (err error) {
	b, err := c.open(ctx, log)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, b.record.Close()) }()
	// The account knows names that are alike, and says so.
	if _, err := b.ledger.Account(c.Number); err != nil {
		return err
	}
	o := handover.Options{Site: siteName(b.site), Sheet: func(w io.Writer) error {
		return app.DrawSheet(ctx, w, b.record, b.site, c.Number, version(), false)
	}}
	var s handover.Summary
	if strings.HasSuffix(c.Out, ".zip") {
		var zip bytes.Buffer
		if s, err = handover.Pack(ctx, b.record, c.Number, &zip, o); err == nil {
			err = writeNew(c.Out, zip.Bytes())
		}
	} else {
		s, err = handover.Write(ctx, b.record, c.Number, c.Out, o)
	}
	if err != nil {
		return err
	}
	return writeText(out, exportText(s, c.Out))
}

func exportText(s handover.Summary, where string) string {
	text := fmt.Sprintf("Batch %s is in %s: %d leaves under a checkpoint of %d.\nREADME.txt in it says how to check it.\n", s.Batch, where, s.Leaves, s.Size)
	if s.Later > 0 {
		text += fmt.Sprintf("%s about its goods left out: no checkpoint covers them yet. The daemon makes one at the end of each batch, every hour while a bath is lit, and when it stops.\n",
			countedIn(int64(s.Later), "entry is", "entries are"))
	}
	return text
}

// siteName is what the README of a hand-over calls the place.
func siteName(s *site.Site) string {
	if s == nil {
		return "a site that was not named"
	}
	return s.Name
}
