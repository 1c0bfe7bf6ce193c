package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"time"

	"bainward/rules"
	"bainward/rules/tally"
)

func monthWords(m tally.Month) string {
	if m == (tally.Month{}) {
		return "all of the record"
	}
	return fmt.Sprintf("%04d-%02d", m.Year, int(m.Month))
}

func bathWords(bath string) string {
	if bath == "" {
		return "all baths"
	}
	return bath
}

const figuresNotes = `A call is an alarm that comes into the state unacknowledged. Rates and periods are of the time in which the
daemon watched, and once more of the hours with a lit bath; months are in UTC. The targets (ANSI/ISA-18.2,
EEMUA 191) are for one person who answers everything. Of ten kinds of alarm the top ten are nearly all of them,
so that share is judged only where more than ten alarms called.
`

// writeFigures writes one month as a table for people; the last column of
// figures is the one that is judged.
func writeFigures(out io.Writer, m tally.Month, baths []string, l *tally.Ledger) error {
	figures := make([]tally.Figures, len(baths))
	measures := make([][]tally.Measure, len(baths))
	for i, bath := range baths {
		figures[i] = tally.Of(l.Annunciations(bath), l.Watch(bath, m))
		measures[i] = figures[i].Measures()
	}
	last := figures[len(figures)-1]
	fmt.Fprintf(out, "%s: watched for %s, days with data: %d, lit for %s; calls: %d.\n", monthWords(m), rules.Minutes(last.Watched), last.Days, rules.Minutes(last.Lit), last.Count)
	if !last.Enough() {
		fmt.Fprintf(out, "Too little data to judge: the standards ask for %d days of it. The numbers all the same:\n", tally.EnoughDays)
	}
	var table strings.Builder
	w := tabwriter.NewWriter(&table, 0, 0, 2, ' ', 0)
	fmt.Fprint(w, "\t")
	for _, bath := range baths {
		fmt.Fprint(w, bathWords(bath), "\t")
	}
	fmt.Fprintln(w, "very likely acceptable\tmaximum manageable\tjudged")
	for i, judged := range measures[len(measures)-1] {
		fmt.Fprint(w, judged.Name, "\t")
		for _, of := range measures {
			fmt.Fprint(w, measureWords(of[i]), "\t")
		}
		fmt.Fprintf(w, "%s\t%s\t%s\n", judged.Target, judged.Most, judged.Grade)
	}
	_ = w.Flush() // into memory
	for line := range strings.Lines(table.String()) {
		fmt.Fprintln(out, strings.TrimRight(line, " \n"))
	}
	writeShares(out, "Most calls", last.ByTag)
	writeShares(out, "Chattering", last.Chattering)
	for _, a := range last.Standing {
		fmt.Fprintf(out, "Standing at the end: %s %s, since %s\n", a.Bath, a.Alarm, a.Wall.Format(time.RFC3339))
	}
	fmt.Fprintln(out)
	return nil
}

func writeShares(out io.Writer, what string, shares []tally.Share) {
	const most = 10
	var words []string
	for _, s := range shares[:min(most, len(shares))] {
		words = append(words, fmt.Sprintf("%s %s %d", s.Bath, s.Alarm, s.Count))
	}
	if len(words) > 0 {
		fmt.Fprintf(out, "%s: %s\n", what, strings.Join(words, ", "))
	}
}

func measureWords(m tally.Measure) string {
	switch {
	case m.None:
		return "-"
	case m.Unit == tally.Time:
		return rules.Minutes(time.Duration(m.Value * float64(time.Second)))
	case m.Unit == tally.Percent:
		return fmt.Sprintf("%.1f %%", m.Value)
	case m.Value == float64(int64(m.Value)):
		return fmt.Sprint(int64(m.Value))
	}
	return fmt.Sprintf("%.2f", m.Value)
}

// figuresLine is the figures of one bath in one month, as a program reads them.
// Month is empty for all of the record, bath for the site.
type figuresLine struct {
	Month    string        `json:"month"`
	Bath     string        `json:"bath"`
	WatchedS float64       `json:"watched_s"`
	LitS     float64       `json:"lit_s"`
	Days     int           `json:"days"`
	Enough   bool          `json:"enough"` // to judge; else no measure has a grade
	Calls    int           `json:"calls"`
	Measures []measureLine `json:"measures"`
}

type measureLine struct {
	Name   string   `json:"name"`
	Value  *float64 `json:"value"` // null: nothing to reckon it from
	Unit   string   `json:"unit,omitempty"`
	Target string   `json:"acceptable,omitempty"`
	Most   string   `json:"manageable,omitempty"`
	Grade  string   `json:"grade,omitempty"`
}

func writeFiguresJSON(out io.Writer, m tally.Month, baths []string, l *tally.Ledger) error {
	for _, bath := range baths {
		f := tally.Of(l.Annunciations(bath), l.Watch(bath, m))
		line := figuresLine{Bath: bath, WatchedS: f.Watched.Seconds(), LitS: f.Lit.Seconds(), Days: f.Days, Enough: f.Enough(), Calls: f.Count}
		if m != (tally.Month{}) {
			line.Month = monthWords(m)
		}
		for _, of := range f.Measures() {
			ml := measureLine{Name: of.Name, Unit: [...]string{tally.Percent: "%", tally.Time: "s"}[of.Unit], Target: of.Target, Most: of.Most, Grade: of.Grade.String()}
			if !of.None {
				ml.Value = &of.Value
			}
			line.Measures = append(line.Measures, ml)
		}
		if err := json.NewEncoder(out).Encode(line); err != nil {
			return fmt.Errorf("write the figures: %w", err)
		}
	}
	return nil
}
