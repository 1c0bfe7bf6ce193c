package app

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"bainward/dashboards/paper"
	"bainward/rules"
	"bainward/rules/batch/ledger"
)

// happened fills in the macerations, the trace, the alarms, the deviations and
// what was controlled on the way.
func (w *sheetWriter) happened() {
	o := &w.out
	o.Times = w.watch.times
	for _, p := range w.told.course.Passes {
		o.Macerations = append(o.Macerations, paper.Maceration{
			From: p.From, To: p.To, Herb: w.herbOf(p.Pass), HoldAsked: seconds(p.AskedS), HoldDone: seconds(p.HoldS),
			OilMaxC: orNaN(p.OilMaxC), Verdict: p.Verdict,
		})
	}
	o.Trace = w.watch.trace(w.told, w.opened.At)
	for _, a := range w.told.course.Called {
		o.Alarms = append(o.Alarms, paper.Alarm{Raised: a.Raised, Name: a.Alarm, Priority: a.Priority, Acknowledged: a.Acknowledged, By: a.By})
	}
	for _, d := range w.account.Deviations {
		o.Deviations = append(o.Deviations, paper.Deviation{At: w.where.wall(d.Seq, d.When), What: d.Fact.Text, Explanation: d.Fact.Explanation, By: d.Who})
	}
	o.Controls = w.controls()
}

func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

// herbOf says what was entered of the herb of a maceration.
func (w *sheetWriter) herbOf(pass int) string {
	var words []string
	for _, m := range w.account.Materials {
		if f := m.Fact; f.What == ledger.Herb && max(1, f.Pass) == pass {
			words = append(words, fmt.Sprintf("%s %s, %s", f.Quantity, f.State, f.Name))
		}
	}
	return strings.Join(words, "; ")
}

func sortMarks(marks []paper.Mark) {
	slices.SortStableFunc(marks, func(a, b paper.Mark) int { return cmp.Compare(a.At, b.At) })
}

// controls are what was measured on the way with what was asked of it (ISO
// 22716:2007, 7.2.5, from memory). What nobody can say yet is left out.
func (w *sheetWriter) controls() []paper.Control {
	if w.opening == nil {
		return nil
	}
	var all []paper.Control
	for _, p := range w.told.course.Passes {
		if p.Verdict == rules.Open.String() {
			continue
		}
		all = append(all, paper.Control{
			What: fmt.Sprintf("hold of maceration %d", p.Pass), Limit: rules.Minutes(seconds(p.AskedS)),
			Found: rules.Minutes(seconds(p.HoldS)), Met: w.heldLong(p),
		})
	}
	units := w.opening.Units
	if max := w.told.course.OilMaxC; max != nil {
		limit := "not over the boiling point of the moment and its doubt"
		if c := w.opening.Recipe.CeilingC; c > 0 {
			limit = "not over " + units.Temp(c)
		}
		all = append(all, paper.Control{What: "hottest oil", Limit: limit, Found: units.Temp(*max), Met: !w.watch.tooHot})
	}
	if a := w.watch.air; a.readings > 0 {
		all = append(all, paper.Control{
			What: "readings of the oil while lit", Limit: "all of them to be trusted",
			Found: fmt.Sprintf("%d of %d", a.readings-a.oilUnread, a.readings), Met: a.oilUnread == 0,
		})
	}
	return append(all, w.controlsOfOil()...)
}

// heldLong reports whether a maceration was held as long as asked, whatever else
// became of it.
func (w *sheetWriter) heldLong(p ledger.PassCourse) bool {
	return p.Verdict == rules.Held.String() || p.Verdict == rules.Spoiled.String() && p.HoldS >= p.AskedS
}

// controlsOfOil are those of the finished oil.
func (w *sheetWriter) controlsOfOil() []paper.Control {
	var all []paper.Control
	if len(w.account.Bottles) > 0 {
		c := paper.Control{What: "water in the bottled oil", Limit: "none to be seen", Found: "nobody looked"}
		switch waterSeen(w.facts) {
		case ledger.NoWater:
			c.Found, c.Met = "none seen", true
		case ledger.WaterIn:
			c.Found = "water seen"
		}
		all = append(all, c)
	}
	if b := w.account.Balance; b.Lacks == "" {
		c := paper.Control{What: "mass balance", Limit: "closes within the doubt of the scale", Found: "closes", Met: b.Closes}
		if !b.Closes {
			c.Found = strings.Join(b.Warnings, "; ")
		}
		all = append(all, c)
	}
	return all
}
