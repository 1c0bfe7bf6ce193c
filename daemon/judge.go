package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"runtime"

	"bainward/daemon/judge"
	"bainward/daemon/site"
)

type judgeCommand struct {
	Rigs    int    `default:"200" placeholder:"N" help:"How many varied baths of the simulator to play (200)."`
	Exact   bool   `help:"Let the makers have measured pan and dish exactly; else each size is up to a tenth off."`
	Weighed bool   `help:"Let the makers have weighed the water that wets the base of the dish."`
	Earlier int    `placeholder:"N" help:"Let N batches have been made on each bath before."`
	Site    string `placeholder:"FILE" help:"With a folder: the site file."`
	Bath    string `placeholder:"NAME" help:"With a folder: the bath whose rig the traces are from."`
	Recipe  string `placeholder:"NAME" help:"With a folder: the recipe; the first of the site file if none is named."`
	Folder  string `arg:"" optional:"" help:"A folder of traces NAME.csv, each with its NAME.truth.csv (time water_kg bare dry herb_water_kg)."`
}

// Run prints how well the rules know the pan, as one table: over baths of the
// simulator, or over a folder of traces whose truth is known.
func (c *judgeCommand) Run(out io.Writer) error {
	score, err := c.score()
	if err != nil {
		return err
	}
	w := bufio.NewWriter(out)
	score.Write(w)
	if err := w.Flush(); err != nil {
		return fmt.Errorf("write the table: %w", err)
	}
	return nil
}

func (c *judgeCommand) score() (*judge.Score, error) {
	if c.Folder == "" {
		return judge.Rigs(c.Rigs, judge.Makers{Exact: c.Exact, Weighed: c.Weighed, Earlier: c.Earlier}, runtime.NumCPU())
	}
	if c.Site == "" || c.Bath == "" {
		return nil, errors.New("judge a folder: name the rig with --site FILE --bath NAME")
	}
	s, err := site.Load(c.Site)
	if err != nil {
		return nil, err
	}
	cfg, err := s.Config(c.Bath, c.Recipe)
	if err != nil {
		return nil, err
	}
	courses, err := judge.ReadFolder(c.Folder, cfg)
	if err != nil {
		return nil, err
	}
	var score judge.Score
	for _, course := range courses {
		score.Add(course)
	}
	return &score, nil
}
