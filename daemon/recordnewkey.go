package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"bainward/daemon/record"
	"bainward/daemon/site"
)

type recordNewKeyCommand struct {
	Record string `placeholder:"DIR" help:"Folder of the record; else $STATE_DIRECTORY/record, or bainward-record here."`
}

// Run gives a record a new signing key, which the one before signs, and makes a
// checkpoint with it. No daemon may be writing the record meanwhile.
func (c *recordNewKeyCommand) Run(ctx context.Context, out io.Writer) (err error) {
	dir := c.Record
	if dir == "" {
		dir = (&site.Site{}).RecordFolder(os.Getenv("STATE_DIRECTORY"))
	}
	// A reader first: opening for writing would make a record where there is none.
	look, err := record.OpenReader(dir)
	if err != nil {
		return err
	}
	end, err := look.Last(ctx)
	if err = errors.Join(err, look.Close()); err != nil {
		return err
	}
	r, err := record.Open(ctx, record.Options{Dir: dir})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, r.Close()) }()
	if r.NeedsKey() {
		return fmt.Errorf("give %s a new key: its private key is not there to sign the next one; a daemon that starts makes one by itself", dir)
	}
	before := r.VerifierKey()
	if _, err := r.RotateKey(ctx, end.At, time.Now(), whoAsks()); err != nil {
		return err
	}
	if _, err := r.Checkpoint(ctx, end.At, time.Now(), record.WhyAsked); err != nil {
		return err
	}
	return writeText(out, fmt.Sprintf("The record is signed by a new key from here on:\n  %s\nThe one before signed it:\n  %s\nKeep both where you kept the old one.\n", r.VerifierKey(), before))
}
