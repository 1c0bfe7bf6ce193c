package app

import (
	"fmt"
	"math"

	"bainward/dashboards/paper"
	"bainward/rules"
	"bainward/rules/batch/ledger"
)

// cameOut fills in strength, balance and bottles.
func (w *sheetWriter) cameOut() {
	w.out.Strength = w.account.Strength.Lines(w.out.Units)
	w.out.Balance = shares(w.account)
	w.out.Yield = math.NaN()
	// A yield that rests on a rule of thumb for what the marc keeps is none.
	if r := w.account.Strength.Result; w.account.Strength.Lacks == "" && r.AllWeighed {
		w.out.Yield = r.Yield.P50
	}
	w.out.Bottles = bottleRows(w.account)
}

// shares sets what went in against what came out. Oil that goes from one
// maceration into the next is neither: it stays in the dish.
func shares(a ledger.Account) []paper.Share {
	var all []paper.Share
	passes, weighed := 1, map[ledger.Weighed]bool{}
	for _, x := range a.Weighings {
		passes = max(passes, x.Fact.Pass)
		weighed[x.Fact.What] = weighed[x.Fact.What] || max(1, x.Fact.Pass) == 1
	}
	for _, m := range a.Materials {
		passes = max(passes, m.Fact.Pass)
		oil := m.Fact.What == ledger.Oil
		if m.Fact.What == ledger.Other || oil && m.Fact.Pass < 2 && weighed[ledger.OilIn] {
			continue
		}
		all = append(all, paper.Share{What: ofPass(m.Fact.Name, m.Fact.Pass), Kg: m.Fact.Kg().P50})
	}
	for _, x := range a.Weighings {
		f := x.Fact
		switch {
		case f.What == ledger.OilIn && f.Pass < 2:
			all = append(all, paper.Share{What: "oil, in the dish", Kg: f.Kg().P50})
		case f.What == ledger.Marc:
			all = append(all, paper.Share{What: ofPass("marc", f.Pass), Kg: f.Kg().P50, Out: true})
		case f.What == ledger.Water:
			all = append(all, paper.Share{What: ofPass("water poured off", f.Pass), Kg: f.Kg().P50, Out: true})
		case f.What == ledger.OilOut && max(1, f.Pass) == passes:
			all = append(all, paper.Share{What: "oil", Kg: f.Kg().P50, Out: true})
		}
	}
	return append(all, unweighed(a, passes)...)
}

// unweighed are the parts that nobody weighed: without them nothing adds up, and
// the sheet must say so.
func unweighed(a ledger.Account, passes int) []paper.Share {
	has := func(what ledger.Weighed, pass int) bool {
		for _, x := range a.Weighings {
			if x.Fact.What == what && max(1, x.Fact.Pass) == pass {
				return true
			}
		}
		return false
	}
	var all []paper.Share
	for pass := 1; pass <= passes; pass++ {
		if !has(ledger.Marc, pass) {
			all = append(all, paper.Share{What: ofPass("marc", pass), Kg: math.NaN(), Out: true})
		}
	}
	if !has(ledger.OilOut, passes) {
		all = append(all, paper.Share{What: "oil", Kg: math.NaN(), Out: true})
	}
	return all
}

func ofPass(what string, pass int) string {
	if pass < 2 {
		return what
	}
	return fmt.Sprintf("%s, maceration %d", what, pass)
}

// bottleRows counts the bottles that are alike.
func bottleRows(a ledger.Account) []paper.Bottles {
	oil := a.Oil()
	var rows []paper.Bottles
next:
	for _, b := range a.Bottles {
		row := paper.Bottles{Count: 1, Litres: b.FilledMl / 1000, Kg: b.Kg(oil).P50, Place: placeWords(b.Place), UseBy: b.UseBy.Time()}
		for i := range rows {
			same := row
			same.Count = rows[i].Count
			if rows[i] == same {
				rows[i].Count++
				continue next
			}
		}
		rows = append(rows, row)
	}
	return rows
}

func placeWords(p ledger.Place) string {
	s, ok := p.Storage()
	if !ok {
		return string(p)
	}
	return s.String()
}

// orNaN is a temperature that may not be known.
func orNaN(c *float64) float64 {
	if c == nil {
		return math.NaN()
	}
	return *c
}

// unitsOf are those in which people of a site read; without a site, those that
// the record says.
func unitsOf(c *rules.Config) rules.Units {
	if c == nil {
		return rules.Metric
	}
	return c.Units
}
