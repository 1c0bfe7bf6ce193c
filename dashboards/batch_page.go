package dashboards

import (
	"fmt"
	"io"
	"time"

	"bainward/rules"
	jug "bainward/rules/batch/amount"
	"bainward/rules/batch/ledger"
)

// BatchPage is everything there is to say of one batch, and the forms with which
// more is entered.
type BatchPage struct {
	GoodsFrame
	Number         string
	Bath           string
	Recipe         string
	Opened, Closed time.Time
	Verdict        string // a word of rules.Verdict
	Says           string // the verdict in words
	Course         CourseView
	Materials      []GoodsRow
	Weighings      []GoodsRow
	Deviations     []GoodsRow
	Balance        []Fact
	Lacks          string   // why the balance cannot be reckoned
	Warnings       []string // what is amiss in it
	Closes         bool
	Strength       []string
	Bottles        []BottleGroup
	Explains       string // the mean kinetic temperature; empty where none is shown
	Products       []ProductRow
	Went           []WentRow
	Past           []PastRow
	PastTrouble    string // why the past is not shown
	Papers         bool   // sheet and labels can be printed here
	Letter         bool   // on Letter paper
	Forms          BatchForms
	Sign           *SignBox // nil: nothing is said of signatures
}

// Fact is a name and what is to be said of it.
type Fact struct{ Name, Text string }

// GoodsRow is something that was entered, in words.
type GoodsRow struct {
	Title string // what it is
	Much  string
	Lot   string
	Notes []string
	When  time.Time
	Who   string
}

// ProductRow is something that was made of it.
type ProductRow struct {
	Number string
	Name   string
	From   []string
	Gone   bool
	Batch  bool // it is a batch of this site
}

// WentRow is oil or a product that left, and where to.
type WentRow struct {
	When    time.Time
	Who     string
	Much    string
	From    string
	To      string // reference
	Product string
	Name    string
	Thrown  bool
	Despite string
}

// BatchData is what a page of a batch is made of.
type BatchData struct {
	Account ledger.Account
	Course  ledger.Course
	// CourseTrouble says why there is no course.
	CourseTrouble string
	Into          ledger.Recall
	Past          []GoodsEntry
}

// BatchPageOf puts a batch into words. The frame, the forms and the papers are for
// the caller.
func BatchPageOf(u rules.Units, d BatchData) BatchPage {
	a := d.Account
	verdict := a.Verdict
	if a.Closed.IsZero() && d.Course.Verdict != "" {
		verdict = d.Course.Verdict
	}
	p := BatchPage{
		Number: a.Batch, Bath: a.Bath, Recipe: a.Recipe, Opened: a.Opened, Closed: a.Closed,
		Verdict: verdict, Says: verdictWords(verdict), Course: courseView(u, d),
		Strength: a.Strength.Lines(u), Bottles: groupBottles(u, a.Bottles), Past: pastRows(u, d.Past, a.Batch),
		Balance: balanceFacts(u, a.Balance), Lacks: a.Balance.Lacks, Closes: a.Balance.Closes,
	}
	for _, w := range a.Balance.Warnings {
		p.Warnings = append(p.Warnings, MachineWords(u, w))
	}
	for _, m := range a.Materials {
		p.Materials = append(p.Materials, materialRow(u, m))
	}
	for _, w := range a.Weighings {
		p.Weighings = append(p.Weighings, weighingRow(u, w))
	}
	for _, e := range a.Deviations {
		p.Deviations = append(p.Deviations, GoodsRow{Title: e.Fact.Text, Notes: nonEmpty(e.Fact.Explanation), When: e.When, Who: e.Who})
	}
	for _, g := range p.Bottles {
		if g.Kept != "" {
			p.Explains = ledger.KineticWords
		}
	}
	p.Products, p.Went = productRows(d.Into), wentRows(u, d)
	return p
}

func nonEmpty(all ...string) (some []string) {
	for _, s := range all {
		if s != "" {
			some = append(some, s)
		}
	}
	return some
}

func materialRow(u rules.Units, m ledger.Entered[ledger.Material]) GoodsRow {
	f := m.Fact
	row := GoodsRow{Title: f.Name, Much: amountWords(u, f.Quantity), Lot: f.Lot, Notes: nonEmpty(string(f.State)), When: m.When, Who: m.Who}
	if f.AtC != 0 {
		row.Notes = append(row.Notes, "measured at "+degrees(u, f.AtC))
	}
	if !f.BestBefore.IsZero() {
		row.Notes = append(row.Notes, "best before "+f.BestBefore.String())
	}
	row.Notes = append(row.Notes, nonEmpty(passWords(f.Pass))...)
	return row
}

func weighingRow(u rules.Units, w ledger.Entered[ledger.Weighing]) GoodsRow {
	row := GoodsRow{Title: weighedWords(w.Fact.What), Much: amountWords(u, w.Fact.Quantity), When: w.When, Who: w.Who}
	if !w.Fact.Within.IsZero() {
		row.Notes = append(row.Notes, "the scale is good to "+amountWords(u, w.Fact.Within))
	}
	row.Notes = append(row.Notes, nonEmpty(passWords(w.Fact.Pass))...)
	return row
}

func passWords(pass int) string {
	if pass < 2 {
		return ""
	}
	return fmt.Sprintf("maceration %d", pass)
}

func weighedWords(w ledger.Weighed) string {
	switch w {
	case ledger.OilIn:
		return "oil in the dish"
	case ledger.Marc:
		return "marc"
	case ledger.OilOut:
		return "oil that came out"
	case ledger.Water:
		return "water that settled"
	}
	return string(w)
}

// balanceFacts says the balance line by line; what is not known is left out, for
// Lacks says why.
func balanceFacts(u rules.Units, b ledger.Balance) []Fact {
	var all []Fact
	say := func(name string, s *ledger.Span) {
		if s != nil {
			all = append(all, Fact{name, jug.Say(s.Range(), func(kg float64) string { return jug.Mass(u, kg) })})
		}
	}
	say("Herb and oil in", b.InKg)
	say("Oil, marc and water out", b.OutKg)
	say("Driven off, or lost", b.GoneKg)
	say("Water that was in the herb", b.HerbWaterKg)
	say("Oil that came out", b.OilOutKg)
	say("Oil in the bottles, when filled", b.BottledKg)
	say("Oil that is in no bottle", b.UnbottledKg)
	if b.BottledMl > 0 {
		all = append(all, Fact{"Bottled", fmt.Sprintf("%s: %s left, %s went", millilitres(u, b.BottledMl), millilitres(u, b.LeftMl), millilitres(u, b.GivenMl))})
	}
	return all
}

func productRows(r ledger.Recall) []ProductRow {
	batches := map[string]bool{}
	for _, n := range r.Batches {
		batches[n] = true
	}
	var rows []ProductRow
	for _, p := range r.Products {
		rows = append(rows, ProductRow{Number: p.Number, Name: p.Name, From: p.From, Gone: p.Gone, Batch: batches[p.Number]})
		delete(batches, p.Number)
	}
	for _, n := range r.Batches { // that took it as their oil, by its lot
		if batches[n] {
			rows = append(rows, ProductRow{Number: n, Batch: true})
		}
	}
	return rows
}

// RenderBatch writes the page of one batch.
func (t *Pages) RenderBatch(w io.Writer, p BatchPage) error { return t.execute(w, "batch-page", p) }
