package main

import (
	"fmt"
	"strings"
	"text/tabwriter"
	"time"

	"bainward/rules"
	"bainward/rules/batch/amount"
	"bainward/rules/batch/ledger"
)

// table sets rows in columns, two spaces apart, without spaces at the end.
func table(rows [][]string) string {
	var set strings.Builder
	w := tabwriter.NewWriter(&set, 0, 0, 2, ' ', 0)
	for _, r := range rows {
		fmt.Fprintln(w, strings.Join(r, "\t"))
	}
	_ = w.Flush() // into memory
	var out strings.Builder
	for line := range strings.Lines(set.String()) {
		out.WriteString(strings.TrimRight(line, " \n") + "\n")
	}
	return out.String()
}

// batchTable lists batches for people.
func batchTable(all []ledger.Line, u rules.Units, clock *time.Location) string {
	if len(all) == 0 {
		return "The record holds no batch yet.\n"
	}
	rows := [][]string{{"batch", "bath", "recipe", "opened (" + clock.String() + ")", "verdict", "bottles", "left", "to look at"}}
	for _, l := range all {
		rows = append(rows, []string{
			l.Batch, l.Bath, l.Recipe, minute(l.Opened, clock), l.Verdict, fmt.Sprint(l.Bottles), bottleVolume(u, l.LeftMl), toLookAt(l),
		})
	}
	return table(rows)
}

func toLookAt(l ledger.Line) string {
	var words []string
	if l.Deviations > 0 {
		words = append(words, counted(l.Deviations, "deviation"))
	}
	if l.Warnings > 0 {
		words = append(words, counted(l.Warnings, "warning"))
	}
	return strings.Join(words, ", ")
}

// counted says a number of things in words.
func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// clockWords says of times which they are.
func clockWords(clock *time.Location) string {
	if clock == time.UTC {
		return "UTC"
	}
	return "those of " + clock.String()
}

// minute writes an instant as the clocks of the site show it.
func minute(t time.Time, clock *time.Location) string {
	if t.IsZero() {
		return "-"
	}
	return t.In(clock).Format("2006-01-02 15:04")
}

// bottleVolume writes what is in a bottle, finer than a measuring jug shows.
func bottleVolume(u rules.Units, ml float64) string {
	if u == rules.US {
		return fmt.Sprintf("%.1f fl oz", ml/amount.MlPerFlOz)
	}
	return fmt.Sprintf("%.0f ml", ml)
}

// batchText writes all there is to say of a batch, the verdict first.
func batchText(s ledger.Sheet, u rules.Units, clock *time.Location) string {
	w := planWriter{clock: clock}
	w.title(fmt.Sprintf("Batch %s: %s", s.Batch, s.Course.Verdict))
	w.text(0, fmt.Sprintf("Made as %s in bath %s, %s. Times are %s.", s.Recipe, s.Bath, w.lasted(s.Account), clockWords(clock)))
	w.materials(s, u)
	w.macerations(s.Course, u)
	w.alarms(s.Course)
	w.deviations(s.Deviations)
	w.title("What came of it")
	for _, l := range s.Strength.Lines(u) {
		w.text(2, l)
	}
	w.balance(s.Balance, u)
	w.title("Bottles")
	if len(s.Bottles) == 0 {
		w.text(2, "None was entered.")
	} else {
		w.b.WriteString(indented(bottleTable(s.Bottles, u)))
		w.b.WriteString(indented(keptText(s.Bottles, nil, u, w.clock)))
	}
	if len(s.Products) > 0 {
		w.text(2, "Some of it went into "+strings.Join(s.Products, ", ")+".")
	}
	w.deeds(s)
	return w.b.String()
}

func (w *planWriter) lasted(a ledger.Account) string {
	if a.Closed.IsZero() {
		return "opened " + w.minute(a.Opened) + " and not closed yet"
	}
	return fmt.Sprintf("opened %s, closed %s", w.minute(a.Opened), w.minute(a.Closed))
}

func indented(s string) string {
	var out strings.Builder
	for line := range strings.Lines(s) {
		out.WriteString("  " + line)
	}
	return out.String()
}

func (w *planWriter) materials(s ledger.Sheet, u rules.Units) {
	w.title("What went in")
	if len(s.Materials) == 0 {
		w.text(2, "Nobody entered it: what stands in the bottles cannot be traced to its lots.")
		return
	}
	rows := [][]string{}
	for _, m := range s.Materials {
		f := m.Fact
		name := f.Name
		if f.State != "" {
			name += ", " + string(f.State)
		}
		weighs := "not known"
		if kg := f.Kg(); kg.Known() {
			weighs = amount.Mass(u, kg.P50)
		}
		rows = append(rows, []string{string(f.What), name, "lot " + f.Lot, f.Quantity.String(), weighs, passWords(f.Pass)})
	}
	w.b.WriteString(indented(table(rows)))
}

func passWords(pass int) string {
	if pass < 2 {
		return ""
	}
	return fmt.Sprintf("maceration %d", pass)
}

func (w *planWriter) macerations(c ledger.Course, u rules.Units) {
	w.title("How it was held")
	if len(c.Passes) == 0 {
		w.text(2, "The record does not tell.")
		return
	}
	rows := [][]string{{"", "lit", "out of the bath", "held", "asked", "hottest oil", "verdict"}}
	for _, p := range c.Passes {
		hottest := "not known"
		if p.OilMaxC != nil {
			hottest = u.Temp(*p.OilMaxC)
		}
		rows = append(rows, []string{fmt.Sprint(p.Pass), w.minute(p.From), w.minute(p.To), spell(p.HoldS), spell(p.AskedS), hottest, p.Verdict})
	}
	w.b.WriteString(indented(table(rows)))
	w.text(2, counted(c.TopUps, "top-up")+".")
}

func spell(s float64) string { return rules.Minutes(time.Duration(s * float64(time.Second))) }

func (w *planWriter) alarms(c ledger.Course) {
	if len(c.Called) == 0 {
		return
	}
	w.title("Alarms")
	var rows [][]string
	for _, a := range c.Called {
		answer := "nobody acknowledged it"
		if !a.Acknowledged.IsZero() {
			answer = fmt.Sprintf("acknowledged after %s by %s", rules.Minutes(a.Acknowledged.Sub(a.Raised)), a.By)
		}
		rows = append(rows, []string{w.minute(a.Raised), a.Alarm, a.Priority, answer})
	}
	w.b.WriteString(indented(table(rows)))
}

func (w *planWriter) deviations(all []ledger.Entered[ledger.Deviation]) {
	if len(all) == 0 {
		return
	}
	w.title("Deviations")
	for _, d := range all {
		said := "no explanation was entered"
		if d.Fact.Explanation != "" {
			said = d.Fact.Explanation
		}
		w.item("! ", fmt.Sprintf("%s: %s (%s, %s)", d.Fact.Text, said, d.Who, w.minute(d.When)))
	}
}

func (w *planWriter) balance(b ledger.Balance, u rules.Units) {
	mass := func(kg float64) string { return amount.Mass(u, kg) }
	if b.Lacks != "" {
		w.text(2, "The mass balance cannot be reckoned: "+b.Lacks+".")
	} else {
		w.text(2, fmt.Sprintf("In: %s. Out: %s. Gone, as water or lost: %s.",
			amount.Say(b.InKg.Range(), mass), amount.Say(b.OutKg.Range(), mass), amount.Say(b.GoneKg.Range(), mass)))
	}
	for _, warning := range b.Warnings {
		w.item("! ", upperFirst(warning)+".")
	}
}

func (w *planWriter) deeds(s ledger.Sheet) {
	if len(s.Course.Deeds) == 0 {
		return
	}
	w.title("Who did what at the bath")
	var rows [][]string
	for _, d := range s.Course.Deeds {
		text := d.Text
		if d.Voided {
			text += fmt.Sprintf(" (taken back by %s: %s)", d.VoidedBy, d.Why)
		}
		rows = append(rows, []string{w.minute(d.When), text, d.Who})
	}
	w.b.WriteString(indented(table(rows)))
}
