package paper

import (
	"fmt"
	"math"
)

// whatCameOut draws strength, yield, bottles and cautions.
func (f *flow) whatCameOut() {
	f.pair(f.strength(), f.balance())
	f.place(f.bottles())
	f.place(f.cautions())
}

func (f *flow) strength() part {
	var rows []row
	for _, s := range f.sheet.Strength {
		rows = append(rows, f.text(s, f.half(), bodyStyle)...)
	}
	if len(rows) == 0 {
		rows = f.text(notKnown, f.half(), nameStyle)
	}
	return part{title: "Strength", width: f.half(), rows: rows}
}

// balance adds up what went in and what came out, and says what is missing.
func (f *flow) balance() part {
	s, width := f.sheet, f.half()
	columns := []tableColumn{{"", 44}, {"in", 20}, {"out", 16}}
	var rows [][]cell
	in, out, complete := 0.0, 0.0, true
	for _, one := range s.Balance {
		complete = complete && !math.IsNaN(one.Kg)
		said := plainCell(mass(s.Units, one.Kg))
		if one.Out {
			out += one.Kg
			rows = append(rows, []cell{plainCell(one.What), {}, said})
			continue
		}
		in += one.Kg
		rows = append(rows, []cell{plainCell(one.What), said, {}})
	}
	if len(rows) > 0 {
		lost := "not accounted for"
		if s.Recipe.Fresh { // its water leaves the oil while it simmers
			lost += ", steam included"
		}
		rows = append(rows, []cell{strong("together"), strong(mass(s.Units, in)), strong(mass(s.Units, out))}, []cell{strong(lost), strong(f.missing(in, out, complete)), {}})
	}
	if len(rows) > 0 || known(s.Yield) {
		rows = append(rows, []cell{strong("oil obtained of oil put in"), strong(share(s.Yield)), {}})
	}
	return f.table("Yield and mass balance", width, columns, rows, notEntered)
}

// missing writes what went in and did not come out; more may come out than went
// in where a scale or a note is wrong.
func (f *flow) missing(in, out float64, complete bool) string {
	const scale = 0.0005 // kg: below what a kitchen scale shows
	switch lost := in - out; {
	case !complete || !known(in) || !known(out):
		return notKnown
	case math.Abs(lost) < scale:
		return "nothing"
	case lost < 0:
		return fmt.Sprintf("%s more out than in (%s)", mass(f.sheet.Units, -lost), share(-lost/in))
	default:
		return fmt.Sprintf("%s (%s)", mass(f.sheet.Units, lost), share(lost/in))
	}
}

func (f *flow) bottles() part {
	s := f.sheet
	var rows [][]cell
	for _, b := range s.Bottles {
		rows = append(rows, []cell{strong(fmt.Sprintf("%d ×", b.Count)), plainCell(bottleVolume(s.Units, b.Litres)), plainCell(mass(s.Units, b.Kg)), plainCell(b.Place), {day(b.UseBy), strongStyle}})
	}
	columns := []tableColumn{{"bottles", 14}, {"volume, each", 20}, {"weight, each", 20}, {"place", 60}, {"use by", 22}}
	return f.table("Bottles", f.width(), columns, rows, notEntered)
}
