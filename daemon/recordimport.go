package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"

	"bainward/daemon/record"
	"bainward/daemon/record/handover"
	"bainward/daemon/site"
)

type recordImportCommand struct {
	Folder string `arg:"" help:"The folder of a hand-over, as record export writes it."`
	Key    string `placeholder:"KEY" help:"The verifier key that should have signed it, NAME+ID+KEY, or a file that holds it; else the key of the folder is believed."`
	Record string `placeholder:"DIR" help:"Folder of the record beside which it is kept; else $STATE_DIRECTORY/record, or bainward-record here."`
	Only   bool   `name:"check-only" help:"Check it and keep nothing."`
	JSON   bool   `name:"json" help:"Write one JSON document for programs."`
}

// Run checks a hand-over and keeps it beside the record, which it never touches.
func (c *recordImportCommand) Run(out io.Writer) error {
	key, err := keyOrFile(c.Key)
	if err != nil {
		return fmt.Errorf("import a hand-over: %w", err)
	}
	dir := c.Record
	if dir == "" {
		dir = (&site.Site{}).RecordFolder(os.Getenv("STATE_DIRECTORY"))
	}
	var found handover.Checked
	where := ""
	if c.Only {
		found, err = handover.Check(c.Folder, key)
	} else {
		found, where, err = handover.Keep(c.Folder, key, dir)
	}
	if err != nil {
		return err
	}
	if c.JSON {
		return writeJSON(out, struct {
			handover.Checked
			Kept string `json:"kept,omitempty"`
		}{found, where})
	}
	return writeText(out, importText(found, where))
}

func importText(c handover.Checked, where string) string {
	text := fmt.Sprintf("Batch %s of %s: %d leaves, all of them of the tree of %d leaves that was signed.\n", c.Batch, c.Origin, c.Leaves, c.Size)
	if c.Vouched {
		text += "It is signed by the key that you gave.\n"
	} else {
		text += fmt.Sprintf("The key came with the folder. Compare it with one that was kept elsewhere:\n  %s\n", c.Key)
	}
	if where != "" {
		text += fmt.Sprintf("It is kept in %s. No record was changed.\n", where)
	}
	return text
}

type recordBackupCommand struct {
	Record string `placeholder:"DIR" help:"Folder of the record; else $STATE_DIRECTORY/record, or bainward-record here."`
	Out    string `short:"o" required:"" placeholder:"DIR" help:"The folder to put the copy into; it must hold no record."`
}

// Run copies the record while a daemon may be writing it.
func (c *recordBackupCommand) Run(ctx context.Context, out io.Writer) (err error) {
	dir := c.Record
	if dir == "" {
		dir = (&site.Site{}).RecordFolder(os.Getenv("STATE_DIRECTORY"))
	}
	r, err := record.OpenReader(dir)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, r.Close()) }()
	if err := r.Backup(ctx, c.Out); err != nil {
		return err
	}
	return writeText(out, fmt.Sprintf("A copy of %s is in %s, without the signing key. Check it: bainward record verify %s\n"+
		"To restore it, stop the daemon, move the old folder away and put this one in its place.\n", dir, c.Out, c.Out))
}
