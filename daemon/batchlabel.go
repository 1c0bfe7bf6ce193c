package main

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"strings"

	"bainward/daemon/app"
)

type batchLabelCommand struct {
	kept
	Number  string `arg:"" name:"number" help:"The batch, such as 2026-03-01-north-1."`
	Bottles []int  `placeholder:"N,N" help:"Numbers of the bottles in the batch; else all that have something good left."`
	Blank   int    `placeholder:"N" help:"So many labels without a bottle's number, in place of those."`
}

// Run says what stands on the labels of a batch, and what they lack. Who answers
// for the oil stands in the site file.
func (c *batchLabelCommand) Run(ctx context.Context, out io.Writer, log *slog.Logger) (err error) {
	b, err := c.open(ctx, log)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, b.record.Close()) }()
	labels, _, err := app.ReadLabels(ctx, b.record, b.site, c.Number, app.LabelChoice{Bottles: c.Bottles, Blank: c.Blank})
	if err != nil {
		return err
	}
	return writeText(out, labelsText(labels))
}

// labelsText writes labels as they are to be written or printed.
func labelsText(labels []app.BottleLabel) string {
	var w planWriter
	for _, l := range labels {
		head := "Label"
		if l.Bottle != "" {
			head += " of bottle " + l.Bottle
		}
		w.title(head)
		for _, line := range []struct{ what, says string }{
			{"name", l.Title}, {"function", l.Function}, {"content", l.Content.Text}, {"keeps", l.Mark.Text}, {"batch", l.Number},
			{"strength", l.Strength}, {"ingredients", strings.Join(l.Ingredients, ", ")}, {"made by", l.Responsible},
		} {
			if line.says != "" {
				w.column("  "+line.what, planColumn, line.says)
			}
		}
		for _, caution := range l.Short {
			w.item("! ", caution)
		}
	}
	// What one label lacks all of a batch do, but for what is in their bottle.
	w.title("What the labels lack")
	told := map[string]bool{}
	for _, l := range labels {
		for _, lack := range l.Missing {
			if !told[lack] {
				w.item("- ", lack)
			}
			told[lack] = true
		}
	}
	return w.b.String()
}
