package app

import (
	"bytes"
	"context"
	"fmt"
	"io"

	"bainward/daemon/record"
	"bainward/daemon/site"
	"bainward/dashboards/paper"
	"bainward/rules"
)

// DrawSheet reads the sheet of a batch and writes it to out as a PDF; version is
// that of the program, and letter asks for the page of North America, which is
// also that of US units. On an error nothing is written.
func DrawSheet(ctx context.Context, out io.Writer, r *record.Reader, s *site.Site, number, version string, letter bool) error {
	sheet, err := ReadSheet(ctx, r, s, number)
	if err != nil {
		return err
	}
	sheet.Program = version
	if letter || sheet.Units == rules.US {
		sheet.Page = paper.Letter()
	}
	return paper.Sheet(out, sheet)
}

// SheetPDF draws the sheet of a batch for the pages.
func (a *App) SheetPDF(ctx context.Context, number string, letter bool) ([]byte, error) {
	var out bytes.Buffer
	if err := DrawSheet(ctx, &out, a.record.Reader, a.opt.Site, number, a.opt.Version, letter); err != nil {
		return nil, fmt.Errorf("draw the sheet: %w", err)
	}
	return out.Bytes(), nil
}
