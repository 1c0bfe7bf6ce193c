package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"

	"bainward/daemon/app"
)

type batchSheetCommand struct {
	kept
	Number string `arg:"" name:"number" help:"The batch, such as 2026-03-01-north-1."`
	Out    string `short:"o" required:"" placeholder:"FILE" help:"The PDF to write."`
	Letter bool   `help:"Draw it on Letter paper, as where people read US units anyway; else on A4."`
}

// Run draws the sheet of a batch.
func (c *batchSheetCommand) Run(ctx context.Context, out io.Writer, log *slog.Logger) (err error) {
	b, err := c.open(ctx, log)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, b.record.Close()) }()
	var pdf bytes.Buffer
	if err := app.DrawSheet(ctx, &pdf, b.record, b.site, c.Number, version(), c.Letter); err != nil {
		return err
	}
	if err := replaceFile(c.Out, pdf.Bytes()); err != nil {
		return err
	}
	return writeText(out, fmt.Sprintf("The sheet of batch %s is in %s.\n", c.Number, c.Out))
}

// replaceFile writes data into the file at path, or leaves what is there as it is:
// the new file takes the place of the old one once it is whole.
func replaceFile(path string, data []byte) error {
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+"-*")
	if err != nil {
		return fmt.Errorf("write %q: %w", path, err)
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	if err == nil {
		err = f.Chmod(0o644)
	}
	if err = errors.Join(err, f.Close()); err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		return errors.Join(fmt.Errorf("write %q: %w", path, err), os.Remove(f.Name()))
	}
	return nil
}
