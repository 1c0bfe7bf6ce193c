package app

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"

	"bainward/daemon/record"
	"bainward/daemon/site"
	"bainward/daemon/web"
	"bainward/dashboards/paper"
	"bainward/rules"
)

// Drawn is what labels were drawn.
type Drawn struct {
	Labels []BottleLabel
	Paper  paper.LabelGrid
}

// DrawLabels reads the labels of a batch and writes them to out as a PDF; version
// is that of the program. Where no size is named it takes the smallest sheet of
// labels that holds them, on the paper that goes with the units. On an error nothing is
// written; it is a *ledger.UnknownError if there is no such batch or bottle.
func DrawLabels(ctx context.Context, out io.Writer, r *record.Reader, s *site.Site, number, version string, ask web.LabelAsk) (Drawn, error) {
	choice := LabelChoice{Bottles: ask.Bottles, Blank: ask.Blank}
	if err := choice.check(); err != nil {
		return Drawn{}, err
	}
	b, err := readBottled(ctx, r, s, number)
	if err != nil {
		return Drawn{}, err
	}
	labels, err := b.labels(choice)
	if err != nil {
		return Drawn{}, err
	}
	sheet := paper.LabelSheet{Skip: ask.Skip, Dated: b.dated(), Program: version}
	if s != nil {
		sheet.Fonts = s.Maker.LabelFonts
	}
	for _, l := range labels {
		sheet.Labels = append(sheet.Labels, paper.Label(l))
	}
	if sheet.LabelGrid, err = labelPaper(ask, sheet, b.units); err != nil {
		return Drawn{}, err
	}
	if err := paper.Labels(out, sheet); err != nil {
		return Drawn{}, err
	}
	return Drawn{Labels: labels, Paper: sheet.LabelGrid}, nil
}

// labelPaper chooses the paper. A size that is named brings its own page.
func labelPaper(ask web.LabelAsk, s paper.LabelSheet, u rules.Units) (paper.LabelGrid, error) {
	page := paper.A4()
	if ask.Letter || u == rules.US {
		page = paper.Letter()
	}
	switch {
	case ask.Single && ask.Size == "":
		return paper.LabelGrid{}, errors.New("labels: one a page needs a size in mm, such as 60x40")
	case ask.Single:
		return paper.SingleLabel(ask.Size)
	case ask.Size == "":
		return paper.SmallestLayout(page, s.Labels, s.Fonts)
	}
	return paper.LabelLayout(ask.Size)
}

// LabelsPDF draws the labels of a batch for the pages.
func (a *App) LabelsPDF(ctx context.Context, number string, ask web.LabelAsk) ([]byte, error) {
	var out bytes.Buffer
	if _, err := DrawLabels(ctx, &out, a.record.Reader, a.opt.Site, number, a.opt.Version, ask); err != nil {
		return nil, fmt.Errorf("draw the labels: %w", err)
	}
	return out.Bytes(), nil
}
