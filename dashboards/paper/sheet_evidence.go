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
	return f.table(title, width, []tableColumn{{"at", 14}, {"what", 56}, {"who", 18}}, deeds, notEntered)
}

func (f *flow) record() part {
	s, r := f.sheet, f.sheet.Record
	entries := notKnown
	if r.Entries > 0 {
		entries = fmt.Sprint(r.Entries)
	}
	const third = 3
	each := (f.width()+cellGap)/third - cellGap
	rows := f.cells([]float64{12, each - 12 - cellGap, 14, each - 14 - cellGap, 14, each - 14 - cellGap}, []cell{
		{"file", nameStyle}, exactCell(r.File), {"entries", nameStyle}, {entries, bodyStyle}, {"program", nameStyle}, plainCell(s.program()),
	})
	if note := strings.TrimSpace(r.Checkpoint); strings.Contains(note, "\n") {
		rows = append(rows, f.note(note, f.width())...)
	} else { // words about one, such as that there is none yet
		rows = append(rows, f.facts(f.width(), 24, []fact{{"checkpoint", plainCell(note)}})...)
	}
	return part{title: "Record", width: f.width(), rows: rows, whole: true}
}

// note makes rows of a signed note (C2SP, signed-note), to be typed in again letter
// by letter: its lines are numbered, and one that is too long for the paper is cut
// where no space can hide.
func (f *flow) note(note string, width float64) []row {
	const numbers = 6.0
	rows := f.text("checkpoint: to type it in, end every numbered line with a line end; what has no number goes on with the line above, without a space between.", width, nameStyle)
	for i, line := range strings.Split(note, "\n") {
		for n, l := range f.chopped(line, width-numbers, exactStyleOf(line)) {
			rows = append(rows, row{exactStyle.height(), func(x, y float64) {
				if n == 0 {
					f.word(fmt.Sprint(i+1), x, y, nameStyle)
				}
				f.line(l, x+numbers, y, exactStyleOf(line))
			}})
		}
	}
	rows[len(rows)-1].height += 0.5
	return rows
}

// signatures are two lines for names: drawn in where the record knows who
// signed, else left open for a hand.
func (f *flow) signatures() part {
	s := f.sheet
	const forHands, below = 8.0, 5.0
	each := f.half()
	sides := [...]struct {
		meaning string
		by      Signature
	}{{"made and entered by", s.MadeBy}, {"reviewed by", s.ReviewedBy}}
	var names []cell
	for _, one := range sides {
		said := one.by.Name
		if !one.by.At.IsZero() {
			said = strings.TrimPrefix(said+", "+s.stamp(one.by.At), ", ")
		}
		names = append(names, strong(said))
	}
	rows := []row{{0, func(float64, float64) {}}}
	rows = append(rows, f.cells([]float64{each, gutter - 2*cellGap, each}, []cell{names[0], {}, names[1]})...)
	rows[0].height = max(0, forHands-rows[1].height)
	return part{title: "Signatures", width: f.width(), rows: append(rows, row{below, func(x, y float64) {
		for _, one := range sides {
			f.rule(x, y, x+each, y, 0.25, ink)
			f.word(one.meaning+": name, day, time", x, y+0.5, smallStyle)
			x += each + gutter
		}
	}})}
}
