package main

import (
	"errors"
	"fmt"
	"io"
	"os"

	"bainward/daemon/site"
)

type checkSiteCommand struct {
	File      string `arg:"" help:"The site file."`
	NoSecrets bool   `help:"Leave out the files and variables that hold secrets: the site file is another machine's."`
}

// Run prints what the site file says in plain words, or everything that is
// wrong with it. Of the secrets it only says whether they are where the file
// says, and who can read them.
func (c *checkSiteCommand) Run(out io.Writer) error {
	s, err := site.Load(c.File)
	if err != nil {
		return err
	}
	if _, err := io.WriteString(out, s.Explain()); err != nil {
		return err
	}
	if c.NoSecrets {
		return nil
	}
	warnings, missing := s.CheckSecrets(os.Getenv)
	without, nobody := checkPasswords(s, s.RecordFolder(os.Getenv("STATE_DIRECTORY")))
	warnings, missing = append(warnings, without...), errors.Join(missing, nobody)
	for _, warning := range warnings {
		if _, err := fmt.Fprintf(out, "Warning: %s.\n", warning); err != nil {
			return err
		}
	}
	return missing
}
