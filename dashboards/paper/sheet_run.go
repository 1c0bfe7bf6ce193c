package paper

import (
	"fmt"
	"time"

	"bainward/rules"
)

// whatHappened draws the making itself: times, macerations, controls, the
// trace, alarms and deviations.
func (f *flow) whatHappened() {
	f.place(part{title: "Times", width: f.width(), rows: f.times()})
	f.place(f.macerations())
	f.place(part{title: "Temperatures", width: f.width(), rows: f.traceRows(f.sheet.Trace, f.width(), f.sheet.Units)})
	f.place(f.alarms())
	f.place(f.deviations())
	f.place(f.controls())
}

// times puts the six instants beside each other.
func (f *flow) times() []row {
	s := f.sheet
	all := [...]struct {
		what string
		at   time.Time
	}{
		{"water put in", s.Times.Fill}, {"lit", s.Times.Lit}, {"at the floor", s.Times.Floor},
		{"held", s.Times.Held}, {"strained", s.Times.Strain}, {"bottled", s.Times.Bottle},
	}
	widths := make([]float64, len(all))
	heads, values := make([]cell, len(all)), make([]cell, len(all))
	for i, one := range all {
		widths[i] = (f.width()+cellGap)/float64(len(all)) - cellGap
		heads[i], values[i] = cell{one.what, smallStyle}, cell{s.clock(one.at), strongStyle}
		if one.at.IsZero() {
			values[i] = cell{"not recorded", nameStyle}
		}
	}
	return append(f.cells(widths, heads), f.cells(widths, values)...)
}

func (f *flow) macerations() part {
	s := f.sheet
	var rows [][]cell
	for i, m := range s.Macerations {
		rows = append(rows, []cell{
			strong(fmt.Sprint(i + 1)), plainCell(m.Herb), {s.clock(m.From), bodyStyle}, {s.clock(m.To), bodyStyle},
			{rules.Minutes(m.HoldAsked), bodyStyle}, {rules.Minutes(m.HoldDone), bodyStyle},
			{temperature(s.Units, m.OilMaxC), bodyStyle}, plainCell(m.Verdict),
		})
	}
	columns := []tableColumn{{"", 4}, {"herb", 40}, {"from", 17}, {"to", 17}, {"hold asked", 16}, {"hold done", 16}, {"hottest oil", 16}, {"verdict", 14}}
	return f.table("Macerations", f.width(), columns, rows, notEntered)
}

func (f *flow) controls() part {
	var rows [][]cell
	for _, c := range f.sheet.Controls {
		met := cell{"met", bodyStyle}
		if !c.Met {
			met = cell{"NOT met", alarmStyle}
		}
		rows = append(rows, []cell{plainCell(c.What), plainCell(c.Limit), plainCell(c.Found), met})
	}
	columns := []tableColumn{{"what", 40}, {"asked", 52}, {"found", 32}, {"", 12}}
	return f.table("Controls on the way", f.width(), columns, rows, notEntered)
}

func (f *flow) alarms() part {
	s := f.sheet
	var rows [][]cell
	for _, a := range s.Alarms {
		after, by := cell{"nobody acknowledged it", alarmStyle}, cell{"–", bodyStyle}
		if !a.Acknowledged.IsZero() {
			after, by = cell{rules.Minutes(a.Acknowledged.Sub(a.Raised)), bodyStyle}, plainCell(a.By)
		}
		rows = append(rows, []cell{{s.clock(a.Raised), bodyStyle}, strong(a.Name), plainCell(a.Priority), after, by})
	}
	columns := []tableColumn{{"came up", 22}, {"alarm", 34}, {"priority", 16}, {"acknowledged after", 34}, {"by", 30}}
	return f.table("Alarms", f.width(), columns, rows, "None.")
}

func (f *flow) deviations() part {
	s := f.sheet
	var rows [][]cell
	for _, d := range s.Deviations {
		said := cell{d.Explanation, bodyStyle}
		if d.Explanation == "" {
			said = cell{"no explanation entered", alarmStyle}
		}
		rows = append(rows, []cell{{s.clock(d.At), bodyStyle}, strong(d.What), said, plainCell(d.By)})
	}
	columns := []tableColumn{{"at", 22}, {"what", 40}, {"the maker's explanation", 60}, {"by", 14}}
	return f.table("Deviations from the recipe", f.width(), columns, rows, s.noDeviations())
}

// noDeviations does not let an empty list stand against controls that were not met.
func (s *BatchSheet) noDeviations() string {
	unmet := 0
	for _, c := range s.Controls {
		if !c.Met {
			unmet++
		}
	}
	switch unmet {
	case 0:
		return "None."
	case 1:
		return "None entered, though 1 control on the way was not met."
	}
	return fmt.Sprintf("None entered, though %d controls on the way were not met.", unmet)
}
