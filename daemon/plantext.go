package main

import (
	"fmt"
	"strings"
	"time"

	"bainward/rules/batch/briefing"
)

const (
	planWidth  = 96
	planColumn = 20 // where amounts begin
	planClock  = 26 // where the words of a moment begin
)

// planText writes a briefing for a terminal or a printer: what is dangerous
// first, then the work in its order.
func planText(b briefing.Briefing, sources bool) string {
	var w planWriter
	w.title(fmt.Sprintf("Plan for %s in bath %s", b.Recipe, b.Bath))
	w.text(0, upperFirst(b.What)+". "+strings.Join(b.Place, " "))
	if len(b.Warnings) > 0 {
		w.title("Look at this first")
		for _, warning := range b.Warnings {
			w.item("! ", warning.Text)
		}
	}
	w.title("What to weigh in")
	w.items(b.Weigh)
	w.title("When to expect what, lit at " + b.Lit.Format("15:04"))
	w.moments(b)
	w.title("What comes out")
	w.items(b.Yield)
	w.title("Before you light")
	for _, c := range b.Checks {
		w.item("[ ] ", c.Text+" "+c.Why)
	}
	w.cautions(b.Cautions)
	if len(b.Unlooked) > 0 {
		w.title("What this plan could not look at")
		for _, text := range b.Unlooked {
			w.item("- ", text)
		}
	}
	if sources {
		w.title("Every figure, with its source")
		for _, l := range b.Figures {
			w.item("- ", fmt.Sprintf("%s: %s. Source: %s.", l.Figure, l.Text, strings.TrimSuffix(l.Source, ".")))
		}
	}
	w.b.WriteString("\n")
	w.text(0, "Where a range is told, one such figure in ten lies below it and one above. bainward advises and is not a safety device: never leave a lit bath alone.")
	return w.b.String()
}

type planWriter struct {
	b     strings.Builder
	clock *time.Location // in which minute writes instants
}

func (w *planWriter) minute(t time.Time) string { return minute(t, w.clock) }

func (w *planWriter) title(s string) {
	if w.b.Len() > 0 {
		w.b.WriteString("\n")
	}
	w.b.WriteString(s + "\n")
}

// text writes a paragraph that begins at indent.
func (w *planWriter) text(indent int, s string) { w.column("", indent, s) }

// item writes a paragraph behind a mark.
func (w *planWriter) item(mark, s string) { w.column("  "+mark, len(mark)+2, s) }

// column writes head, and s from the column at on.
func (w *planWriter) column(head string, at int, s string) {
	for _, line := range wrap(s, planWidth-at) {
		fmt.Fprintf(&w.b, "%-*s%s\n", at, head, line)
		head = ""
	}
}

func (w *planWriter) items(all []briefing.Item) {
	for _, i := range all {
		w.column("  "+i.Name, planColumn, i.Amount)
		for _, note := range i.Notes {
			w.text(planColumn+2, note)
		}
	}
}

func (w *planWriter) moments(b briefing.Briefing) {
	if b.Untimed != "" {
		w.text(2, b.Untimed)
	}
	for _, m := range b.Moments {
		when := m.Clock
		if m.Spread != "" {
			when = fmt.Sprintf("%s (%s)", m.Clock, m.Spread)
		}
		if len(when) > planClock-4 { // on the next day
			w.text(2, when)
			when = ""
		}
		w.column("  "+when, planClock, m.Text)
	}
}

func (w *planWriter) cautions(groups []briefing.Group) {
	for _, g := range groups {
		w.title("Cautions: " + strings.ToLower(g.Title[:1]) + g.Title[1:])
		for _, c := range g.Cautions {
			text := c.Text
			if c.Stop {
				text = "Stop. " + text
			}
			w.item("- ", fmt.Sprintf("%s (%s)", text, c.Source))
		}
	}
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
