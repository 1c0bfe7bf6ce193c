package main

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"time"

	"bainward/daemon/site"
	"bainward/rules"
	"bainward/rules/alarm"
)

type rationaleCommand struct {
	Site     string `placeholder:"FILE" help:"A site file whose limits and units to show; else those that hold without one."`
	Markdown bool   `help:"Write Markdown. deploy/alarms.md is this output without a site file."`
}

// Run prints what was decided about every alarm: the fields of the
// rationalisation in ANSI/ISA-18.2, from tag to time to respond.
func (c *rationaleCommand) Run(out io.Writer) error {
	limits, units := rules.DefaultLimits(), rules.Metric
	if c.Site != "" {
		s, err := site.Load(c.Site)
		if err != nil {
			return err
		}
		limits, units = s.Limits, s.Units
	}
	var cards []alarm.Card
	for id := range rules.IDCount {
		cards = append(cards, alarm.CardOf(id, &limits, units))
	}
	w := bufio.NewWriter(out)
	write := rationaleText
	if c.Markdown {
		write = rationaleMarkdown
	}
	write(w, cards)
	if err := w.Flush(); err != nil {
		return fmt.Errorf("write the rationale: %w", err)
	}
	return nil
}

// field is one line of a rationalisation; more than one text is a list in order.
type field struct {
	name  string
	texts []string
}

func rationaleFields(c alarm.Card) []field {
	fact, do, left := alarm.Short(c.Alarm)
	r := c.Rationale
	stays := "returns by itself"
	if r.Latched {
		stays = "stays until it is acknowledged and reset"
	}
	return []field{
		{"priority", []string{r.Priority.String()}},
		{"class", []string{c.Class.String()}},
		{"type", []string{c.Type}},
		{"set-point", []string{c.SetPoint}},
		{"delays", []string{fmt.Sprintf("on %s, off %s, %s: %s", delay(r.OnDelay), delay(r.OffDelay), stays, r.Why)}},
		{"means", []string{c.Means}},
		{"causes", []string{strings.Join(c.Causes, "; ")}},
		{"consequence", []string{c.Why}},
		{"do", c.Do},
		{"time to respond", []string{c.Within + ": " + c.WithinWhy}},
		{"lock screen", []string{fact + " | " + do + " | " + left}},
	}
}

func delay(d time.Duration) string {
	if d == 0 {
		return "at once"
	}
	return rules.Minutes(d)
}

const (
	rationaleAdvises = "bainward advises and is not a safety device: never leave a lit bath alone."
	rationaleColumn  = 18 // where texts begin
	rationaleWidth   = 96
)

func rationaleText(w io.Writer, cards []alarm.Card) {
	for _, c := range cards {
		fmt.Fprintln(w, c.Alarm)
		for _, f := range rationaleFields(c) {
			name := f.name
			for i, text := range f.texts {
				indent := rationaleColumn
				if len(f.texts) > 1 {
					text = fmt.Sprintf("%d. %s", i+1, text)
					indent += 3
				}
				lines := wrap(text, rationaleWidth-indent)
				fmt.Fprintf(w, "  %-*s%s\n", rationaleColumn-2, name, lines[0])
				for _, line := range lines[1:] {
					fmt.Fprintf(w, "%*s%s\n", indent, "", line)
				}
				name = ""
			}
		}
		fmt.Fprintln(w)
	}
	fmt.Fprintln(w, rationaleAdvises)
}

// wrap breaks a text between words into lines of at most width characters where
// it can; there is always one line.
func wrap(text string, width int) []string {
	lines := []string{""}
	for _, word := range strings.Fields(text) {
		last := &lines[len(lines)-1]
		switch {
		case *last == "":
			*last = word
		case len([]rune(*last))+1+len([]rune(word)) <= width:
			*last += " " + word
		default:
			lines = append(lines, word)
		}
	}
	return lines
}

func rationaleMarkdown(w io.Writer, cards []alarm.Card) {
	fmt.Fprintf(w, `# The alarms of bainward

<!-- Written by: go run ./daemon rationale --markdown > deploy/alarms.md -->

%s

What was decided about every alarm, in the fields that ANSI/ISA-18.2 and IEC 62682 ask of a rationalisation.
`+"`bainward rationale --site SITE.toml`"+` prints it with the limits of a site.

An alarm calls a person when its set-point has been passed for the on-delay, and returns when that has been over for the
off-delay. A rule that cannot judge neither raises an alarm nor ends one. An alarm can be acknowledged (I have seen it),
shelved with a reason for at most %s, or taken out of service with a reason until somebody returns it. One that stays
wants to be acknowledged and reset even if its cause went away meanwhile, on the shelf too. A new batch begins with
every alarm normal but for those out of service; what still stands calls again.

| alarm | priority | class | on | off | stays | time to respond |
|---|---|---|---|---|---|---|
`, rationaleAdvises, rules.Minutes(alarm.MaxShelf))
	for _, c := range cards {
		r := c.Rationale
		stays := ""
		if r.Latched {
			stays = "until reset"
		}
		fmt.Fprintf(w, "| [%[1]s](#%[1]s) | %s | %s | %s | %s | %s | %s |\n",
			c.Alarm, r.Priority, c.Class, delay(r.OnDelay), delay(r.OffDelay), stays, c.Within)
	}
	for _, c := range cards {
		fmt.Fprintf(w, "\n## %s\n\n", c.Alarm)
		for _, f := range rationaleFields(c) {
			if len(f.texts) == 1 {
				fmt.Fprintf(w, "- **%s**: %s\n", f.name, f.texts[0])
				continue
			}
			fmt.Fprintf(w, "- **%s**:\n", f.name)
			for i, text := range f.texts {
				fmt.Fprintf(w, "  %d. %s\n", i+1, text)
			}
		}
	}
}
