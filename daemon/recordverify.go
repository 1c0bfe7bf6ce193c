package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"bainward/daemon/record/verify"
	"bainward/daemon/site"
)

type recordVerifyCommand struct {
	Record   string   `arg:"" optional:"" help:"Folder of the record, or its file; else $STATE_DIRECTORY/record, or bainward-record here."`
	Key      string   `placeholder:"KEY" help:"The verifier key that should have signed it, NAME+ID+KEY, or a file that holds it."`
	Held     []string `placeholder:"FILE" sep:"none" help:"A signed checkpoint that was kept elsewhere; may be given again."`
	HeldSize *int64   `placeholder:"N" and:"typed" help:"A checkpoint from paper: how many leaves."`
	HeldRoot string   `placeholder:"ROOT" and:"typed" help:"A checkpoint from paper: its root, in base64."`
	Witness  []string `placeholder:"KEY" sep:"none" help:"The verifier key of another site that signs checkpoints of this one, or a file that holds it; may be given again."`
	SkipFold bool     `help:"Do not fold the readings again: much quicker, and says nothing of what was judged."`
	Workers  int      `placeholder:"N" help:"How many processors to use; all if it is not said."`
	JSON     bool     `name:"json" help:"Write one JSON document for programs."`
}

// mostOfKey is more than any key or checkpoint has; a file that holds more is
// something else.
const mostOfKey = 1 << 20

// Run verifies a record and changes nothing. It ends with an error, and so with
// exit code 1, if anything is wrong with it.
func (c *recordVerifyCommand) Run(ctx context.Context, out io.Writer) error {
	o, err := c.options()
	if err != nil {
		return fmt.Errorf("verify record: %w", err)
	}
	path := c.Record
	if path == "" {
		path = (&site.Site{}).RecordFolder(os.Getenv("STATE_DIRECTORY"))
	}
	r, err := verify.Folder(ctx, path, o)
	if err != nil {
		return err
	}
	if c.JSON {
		e := json.NewEncoder(out)
		e.SetEscapeHTML(false)
		err = e.Encode(r)
	} else {
		_, err = io.WriteString(out, verifyText(r))
	}
	if err != nil {
		return fmt.Errorf("write what was found: %w", err)
	}
	if !r.Clean {
		return fmt.Errorf("the record is not what it should be: %s", countedIn(countFindings(r), "finding", "findings"))
	}
	return nil
}

func (c *recordVerifyCommand) options() (o verify.Options, err error) {
	o = verify.Options{SkipFold: c.SkipFold, Workers: c.Workers, Version: version()}
	if o.Key, err = keyOrFile(c.Key); err != nil {
		return o, err
	}
	for _, w := range c.Witness {
		key, err := keyOrFile(w)
		if err != nil {
			return o, err
		}
		o.Witnesses = append(o.Witnesses, key)
	}
	for _, name := range c.Held {
		text, err := readShort(name)
		if err != nil {
			return o, err
		}
		h, err := verify.ParseHeld(name, text)
		if err != nil {
			return o, err
		}
		o.Held = append(o.Held, h)
	}
	if c.HeldSize != nil {
		h, err := verify.HeldOf("the command line", *c.HeldSize, c.HeldRoot)
		if err != nil {
			return o, err
		}
		o.Held = append(o.Held, h)
	}
	return o, nil
}

// keyOrFile returns the key itself: given, or from a file.
func keyOrFile(given string) (string, error) {
	if given == "" || strings.Count(given, "+") >= 2 {
		return given, nil
	}
	text, err := readShort(given)
	if err != nil {
		return "", fmt.Errorf("%q is neither a verifier key (NAME+ID+KEY) nor a file that holds one: %w", given, err)
	}
	return strings.TrimSpace(text), nil
}

func readShort(name string) (text string, err error) {
	f, err := os.Open(name)
	if err != nil {
		return "", err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	data, err := io.ReadAll(io.LimitReader(f, mostOfKey+1))
	if err == nil && len(data) > mostOfKey {
		err = fmt.Errorf("%s is too large for a key or a checkpoint", name)
	}
	return string(data), err
}
