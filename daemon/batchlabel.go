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
	"bainward/daemon/web"
)

type batchLabelCommand struct {
	kept
	Number  string `arg:"" name:"number" help:"The batch, such as 2026-03-01-north-1."`
	Bottles []int  `placeholder:"N,N" help:"Numbers of the bottles in the batch; else all that have something good left."`
	Blank   int    `placeholder:"N" help:"So many labels without a bottle's number, in place of those."`
	Out     string `short:"o" placeholder:"FILE" help:"The PDF to draw them into; without it they are printed as text."`
	Size    string `placeholder:"SIZE" help:"What the paper is cut to, such as 70x37; else the smallest sheet that holds them."`
	Single  bool   `help:"One a page of that size in mm, for a printer of labels."`
	Skip    int    `placeholder:"N" help:"So many places of the first page are used up."`
	Letter  bool   `help:"Where no size is named: a sheet of Letter paper, as where people read US units anyway; else of A4."`
}

// Run says what stands on the labels of a batch, or draws them, and says what they
// lack. Who answers for the oil stands in the site file.
func (c *batchLabelCommand) Run(ctx context.Context, out io.Writer, log *slog.Logger) (err error) {
	if c.Out == "" && (c.Size != "" || c.Single || c.Skip != 0 || c.Letter) {
		return errors.New("labels: paper is only for drawing: name the PDF with -o FILE")
	}
	b, err := c.open(ctx, log)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, b.record.Close()) }()
	if c.Out != "" {
		return c.drawLabels(ctx, out, b)
	}
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
			{"name", l.Title}, {"function", l.Function}, {"content", l.Content.Text}, {"keeps", l.Mark.Text}, {"batch", l.Number}, {"made", l.Made.Format("2 January 2006")},
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
	w.lacking(labels)
	return w.b.String()
}

// lacking writes what labels lack. What one lacks all of a batch do, but for what
// is in their bottle.
func (w *planWriter) lacking(labels []app.BottleLabel) {
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
}

// drawLabels writes the PDF; if they cannot be drawn, no file is touched.
func (c *batchLabelCommand) drawLabels(ctx context.Context, out io.Writer, b books) error {
	var pdf bytes.Buffer
	ask := web.LabelAsk{Size: c.Size, Bottles: c.Bottles, Blank: c.Blank, Skip: c.Skip, Single: c.Single, Letter: c.Letter}
	drawn, err := app.DrawLabels(ctx, &pdf, b.record, b.site, c.Number, version(), ask)
	if err != nil {
		return err
	}
	if err := replaceFile(c.Out, pdf.Bytes()); err != nil {
		return err
	}
	var w planWriter
	fmt.Fprintf(&w.b, "Labels of batch %s: %d, %s, in %s.\n", c.Number, len(drawn.Labels), drawn.Paper, c.Out)
	w.lacking(drawn.Labels)
	return writeText(out, w.b.String())
}
