package main

import (
	"io"

	"bainward/daemon/site"
)

type checkSiteCommand struct {
	File string `arg:"" help:"The site file."`
}

// Run prints what the site file says in plain words, or everything that is
// wrong with it.
func (c *checkSiteCommand) Run(out io.Writer) error {
	s, err := site.Load(c.File)
	if err != nil {
		return err
	}
	_, err = io.WriteString(out, s.Explain())
	return err
}
