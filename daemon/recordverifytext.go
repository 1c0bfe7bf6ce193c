package main

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"

	"bainward/daemon/record/verify"
)

// verifyText puts a report into words: what was looked at, what is wrong, and
// what cannot be known from the record alone.
func verifyText(r verify.Report) string {
	var w strings.Builder
	t := r.Totals
	fmt.Fprintf(&w, "%s\n", printable(r.Path))
	if t.Format != 0 {
		writeTotals(&w, t)
	}
	if r.Clean {
		fmt.Fprintf(&w, "\nNothing is wrong with it.\n")
	} else {
		fmt.Fprintf(&w, "\n%s:\n", upperFirst(countedIn(countFindings(r), "finding", "findings")))
	}
	for i, f := range r.Findings {
		writeFinding(&w, i+1, f)
	}
	for _, kind := range sortedKinds(r.More) {
		fmt.Fprintf(&w, "\nand %d more of %s.\n", r.More[kind], kind)
	}
	if len(r.Notes) > 0 {
		fmt.Fprintf(&w, "\nTo know:\n")
	}
	for _, n := range r.Notes {
		fmt.Fprintf(&w, "  %s: %s\n", n.About, printable(n.Text))
	}
	return w.String()
}

func writeTotals(w *strings.Builder, t verify.Totals) {
	const day = "2006-01-02 15:04:05"
	if !t.From.IsZero() {
		fmt.Fprintf(w, "  from %s to %s UTC\n", t.From.Format(day), t.To.Format(day))
	}
	fmt.Fprintf(w, "  %s, %d of them readings; %s, %s\n", countedIn(t.Entries, "entry", "entries"), t.Readings,
		countedIn(t.Batches, "batch", "batches"), countedIn(t.Checkpoints, "checkpoint", "checkpoints"))
	for _, k := range t.Keys {
		fmt.Fprintf(w, "  key   %s\n", printable(k))
	}
	if t.Root != "" {
		fmt.Fprintf(w, "  root  %s over %s\n", t.Root, countedIn(t.Leaves, "leaf", "leaves"))
	}
	if t.Followed > 0 {
		fmt.Fprintf(w, "  %d findings, alarms, phases and verdicts follow from what was measured and done\n", t.Followed)
	}
	took := time.Duration(t.Seconds * float64(time.Second)).Round(10 * time.Millisecond)
	fmt.Fprintf(w, "  looked through in %v, %.0f readings a second\n", took, t.PerSecond())
}

func writeFinding(w *strings.Builder, n int, f verify.Finding) {
	var where []string
	if f.Entry != 0 {
		where = append(where, fmt.Sprintf("entry %d", f.Entry))
	}
	if f.Leaf != nil {
		where = append(where, fmt.Sprintf("leaf %d", *f.Leaf))
	}
	if f.Bath != "" {
		where = append(where, "bath "+printable(f.Bath))
	}
	fmt.Fprintf(w, "\n%d. %s", n, f.Kind)
	if len(where) > 0 {
		fmt.Fprintf(w, ": %s", strings.Join(where, ", "))
	}
	fmt.Fprintln(w)
	if f.Expected != "" {
		fmt.Fprintf(w, "   expected  %s\n", printable(f.Expected))
	}
	if f.Found != "" {
		fmt.Fprintf(w, "   found     %s\n", printable(f.Found))
	}
	fmt.Fprintf(w, "   %s\n", printable(f.Means))
}

// mostShown is how much of a text a terminal shows; --json has all of it.
const mostShown = 400

// printable is a text from a record that somebody may have changed, so that nothing
// in it can move a terminal's cursor.
func printable(text string) string {
	text = strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return '·'
		}
		return r
	}, text)
	if runes := []rune(text); len(runes) > mostShown {
		return string(runes[:mostShown]) + "…"
	}
	return text
}

func countFindings(r verify.Report) int64 {
	n := int64(len(r.Findings))
	for _, more := range r.More {
		n += int64(more)
	}
	return n
}

func countedIn(n int64, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func sortedKinds(more map[verify.Kind]int) []verify.Kind {
	kinds := make([]verify.Kind, 0, len(more))
	for k := range more {
		kinds = append(kinds, k)
	}
	slices.Sort(kinds)
	return kinds
}
