package paper

import (
	"fmt"
	"strings"
)

// evidence draws who did what, where the record is, and the names under it all.
func (f *flow) evidence() {
	deeds := f.deeds()
	const few = 6
	if len(deeds) <= few {
		f.place(f.deedTable("Who did what", deeds, f.width()))
	} else {
		first := (len(deeds) + 1) / 2
		f.pair(f.deedTable("Who did what", deeds[:first], f.half()), f.deedTable("Who did what, later", deeds[first:], f.half()))
	}
	f.place(f.record())
	f.place(f.signatures())
}

func (f *flow) deeds() [][]cell {
	var rows [][]cell
	for _, d := range f.sheet.Deeds {
		rows = append(rows, []cell{{f.sheet.clock(d.At), bodyStyle}, plainCell(d.What), plainCell(d.Who)})
	}
	return rows
}

func (f *flow) deedTable(title string, deeds [][]cell, width float64) part {
	return f.table(title, width, []tableColumn{{"at", 22}, {"what", 50}, {"who", 16}}, deeds, notEntered)
}

func (f *flow) record() part {
	s, r := f.sheet, f.sheet.Record
	entries := notKnown
	if r.Entries > 0 {
		entries = fmt.Sprint(r.Entries)
	}
	return part{title: "Record", width: f.width(), rows: f.facts(f.width(), 24, []fact{
		{"file", exactCell(r.File)},
		{"entries", cell{entries, bodyStyle}},
		{"checkpoint", exactCell(strings.TrimSpace(r.Checkpoint))},
		{"program", plainCell(strings.TrimSpace("bainward " + s.Program))},
	})}
}

// signatures are two lines for names: drawn in where the record knows who
// signed, else left open for a hand.
func (f *flow) signatures() part {
	s := f.sheet
	const high = 13.0
	each := f.half()
	line := row{high, func(x, y float64) {
		for _, one := range [...]struct {
			meaning string
			by      Signature
		}{{"made and entered by", s.MadeBy}, {"reviewed by", s.ReviewedBy}} {
			base := y + high - smallStyle.height() - 0.8
			f.rule(x, base, x+each, base, 0.25, ink)
			f.word(one.meaning+": name, day, time", x, base+0.5, smallStyle)
			if one.by.Name != "" {
				f.word(one.by.Name, x, base-strongStyle.height()-0.3, strongStyle)
			}
			if !one.by.At.IsZero() {
				f.wordEnding(s.stamp(one.by.At), x+each, base-strongStyle.height()-0.3, bodyStyle)
			}
			x += each + gutter
		}
	}}
	return part{title: "Signatures", width: f.width(), rows: []row{line}}
}
