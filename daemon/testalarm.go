package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"os"
	"slices"

	"bainward/daemon/site"
	"bainward/daemon/web"
)

type testAlarmCommand struct {
	Site   string `required:"" placeholder:"FILE" help:"The site file."`
	Record string `placeholder:"DIR" help:"Folder of the record, in place of the site file's; phones that were signed up for push messages are looked for there."`
	Listen string `placeholder:"ADDR" help:"Where the daemon serves its pages, in place of the site file's."`
	JSON   bool   `name:"json" help:"Write JSON Lines for programs."`
}

// Run sends a proof through every alarm channel and prints what the far ends
// answer. A daemon that runs does it itself and records it, because only it may
// hold the pins; else the channels are opened here, for once.
func (c *testAlarmCommand) Run(ctx context.Context, out io.Writer, log *slog.Logger) error {
	s, err := site.Load(c.Site)
	if err != nil {
		return err
	}
	if !callsSomebody(s) {
		return fmt.Errorf("test the alarms: nobody is called: %s names no contact: add [[contact]] and a [[channel]]", c.Site)
	}
	d := newAskedDaemon(s, c.listen(s), c.record(s))
	why := d.find(ctx)
	var proofs []web.Proof
	if why == nil {
		proofs, err = d.test(ctx)
		proofs = addUnknown(proofs, s)
	} else {
		ways := opener{site: s, env: os.Getenv, log: log}
		proofs, err = ways.proveOnce(ctx, c.record(s))
	}
	if err != nil {
		return fmt.Errorf("test the alarms: %w", err)
	}
	if err := c.print(out, proofs, d.address, why); err != nil {
		return fmt.Errorf("write what came of the test: %w", err)
	}
	return failures(proofs)
}

func (c *testAlarmCommand) listen(s *site.Site) string {
	if c.Listen != "" {
		return c.Listen
	}
	return s.Listen
}

func (c *testAlarmCommand) record(s *site.Site) string {
	if c.Record != "" {
		return c.Record
	}
	return s.RecordFolder(os.Getenv("STATE_DIRECTORY"))
}

// callsSomebody reports whether the site file names any way to a person.
func callsSomebody(s *site.Site) bool {
	return len(s.Contacts) > 0 || slices.ContainsFunc(s.Channels, func(c site.Channel) bool { return c.Kind == site.PinChannel })
}

// addUnknown adds the ways of the site file that the daemon does not know: it was
// started before they were written there, and calls nobody through them.
func addUnknown(proofs []web.Proof, s *site.Site) []web.Proof {
	kinds := map[string]string{}
	for _, c := range s.Channels {
		kinds[c.Name] = c.Kind.String()
	}
	for _, c := range s.Contacts {
		for _, channel := range c.Channels {
			if slices.ContainsFunc(proofs, func(p web.Proof) bool { return p.Contact == c.Name && p.Channel == channel }) {
				continue
			}
			proofs = append(proofs, notProven(c.Name, channel, kinds[channel],
				"the daemon that runs does not know this way: restart it, so that it reads the site file"))
		}
	}
	return proofs
}

// print writes one line a way. why is nil if the daemon did the test.
func (c *testAlarmCommand) print(out io.Writer, proofs []web.Proof, address string, why error) error {
	if c.JSON {
		return printProofsJSON(out, proofs, why == nil)
	}
	for _, p := range proofs {
		verdict := "worked"
		if p.Failed() {
			verdict = "FAILED"
		}
		if _, err := fmt.Fprintf(out, "%s  %s through %s (%s): %s\n", verdict, p.Contact, p.Channel, p.Kind, p.Answer); err != nil {
			return err
		}
	}
	last := fmt.Sprintf("The daemon at %s sent these and recorded them; see that each message arrived.\n", address)
	if why != nil {
		last = fmt.Sprintf("No daemon runs (%v), so this was not recorded; see that each message arrived.\n", why)
	}
	_, err := io.WriteString(out, last)
	return err
}

func printProofsJSON(out io.Writer, proofs []web.Proof, recorded bool) error {
	to := json.NewEncoder(out)
	for _, p := range proofs {
		err := to.Encode(struct {
			Contact  string `json:"contact"`
			Channel  string `json:"channel"`
			Kind     string `json:"kind"`
			Worked   bool   `json:"worked"`
			Answer   string `json:"answer"` // of the far end, or why it failed
			Recorded bool   `json:"recorded"`
		}{p.Contact, p.Channel, p.Kind, !p.Failed(), p.Answer, recorded})
		if err != nil {
			return err
		}
	}
	return nil
}

// failures is nil if every way worked.
func failures(proofs []web.Proof) error {
	failed := 0
	for _, p := range proofs {
		if p.Failed() {
			failed++
		}
	}
	if failed > 0 {
		return fmt.Errorf("%d of %d ways to reach a person failed: mend them before a bath is lit", failed, len(proofs))
	}
	return nil
}
