package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"time"

	"bainward/daemon/site"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/fold"
	"bainward/rules/trace"
)

type replayCommand struct {
	Site   string `required:"" placeholder:"FILE" help:"The site file."`
	Bath   string `required:"" placeholder:"NAME" help:"The bath whose rig and probes the trace is from."`
	Recipe string `placeholder:"NAME" help:"The recipe; the first of the site file if none is named."`
	Record string `placeholder:"DIR" help:"Folder of the record, for a recipe that was made on the page."`
	JSON   bool   `name:"json" help:"Write JSON Lines for programs."`
	Trace  string `arg:"" help:"The trace file (CSV)."`
}

// Run judges a trace file as the daemon would have judged it live.
func (c *replayCommand) Run(ctx context.Context, out io.Writer) error {
	s, err := site.Load(c.Site)
	if err != nil {
		return err
	}
	if s, err = withMade(ctx, s, c.Record); err != nil {
		return err
	}
	cfg, err := s.Config(c.Bath, c.Recipe)
	if err != nil {
		return err
	}
	rows, err := readTrace(c.Trace)
	if err != nil {
		return err
	}
	w := bufio.NewWriter(out)
	say := func(l fold.Line) { writeForPeople(w, l, cfg.Units) }
	if c.JSON {
		say = func(l fold.Line) { w.Write(append(l.JSON(), '\n')) } // Flush reports what went wrong
	}
	fold.Replay(&cfg, rows, say)
	if err := w.Flush(); err != nil {
		return fmt.Errorf("write the replay: %w", err)
	}
	return nil
}

func readTrace(path string) ([]trace.Row, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("read trace: %w", err)
	}
	defer f.Close()
	rows, err := trace.Read(f)
	if err != nil {
		return nil, fmt.Errorf("read trace %s: %w", path, err)
	}
	return rows, nil
}

// writeForPeople writes a line of a replay as text. Estimates are left out:
// they are for programs, and a page draws them better.
func writeForPeople(w io.Writer, l fold.Line, u rules.Units) {
	at := l.At.Format("15:04:05")
	switch l.Kind {
	case fold.PhaseLine:
		fmt.Fprintf(w, "%s  %s\n", at, l.Phase)
	case fold.AlarmLine:
		if l.State == alarm.SuppressedByDesign.String() {
			return // nothing that a person has to know
		}
		fmt.Fprintf(w, "%s  %-8s %s %s\n", at, l.Priority, l.Alarm, l.State)
		if l.State == "unacknowledged" {
			fmt.Fprintf(w, "%20s%s\n", "", l.Text)
		}
	case fold.SummaryLine:
		fmt.Fprintf(w, "%s  verdict: %s, held %s, %d top-ups", at, l.Verdict, rules.Minutes(time.Duration(*l.HoldS)*time.Second), *l.TopUps)
		if l.OilMaxC != nil {
			fmt.Fprintf(w, ", oil at most %s", u.Temp(*l.OilMaxC))
		}
		fmt.Fprintln(w)
	}
}
