package paper

import "bainward/rules/batch/cautions"

// cautions tells what whoever makes or uses the oil should know, each with its
// source.
func (f *flow) cautions() part {
	p := part{title: "Cautions", width: f.width()}
	about := ""
	for _, c := range f.sheet.Cautions {
		name := c.About
		if name == about { // it is said above
			name = ""
		}
		about = c.About
		p.rows = append(p.rows, f.caution(c, name)...)
	}
	if len(p.rows) == 0 {
		p.rows = f.text(notEntered, f.width(), bodyStyle)
	}
	return p
}

// caution puts the source behind the text where there is room for it on the last
// line, else below.
func (f *flow) caution(c cautions.Caution, about string) []row {
	const names, apart = 26.0, 3.0
	text := cell{c.Text, bodyStyle}
	if c.Stop {
		text.style = strongStyle
	}
	widths := []float64{names, f.width() - names - cellGap}
	rows := f.cells(widths, []cell{strong(about), text})
	lines, source := f.lines(c.Text, widths[1], text.style), f.lines(c.Source, widths[1], smallStyle)
	if len(rows) > 1 || len(lines) == 0 || len(source) != 1 || lines[len(lines)-1].width+apart+source[0].width > widths[1] {
		return append(rows, f.cells(widths, []cell{{}, {c.Source, smallStyle}})...)
	}
	right := names + cellGap + lines[len(lines)-1].width + apart
	down := float64(float64(len(lines)-1)*text.height()) + text.baseline() - smallStyle.baseline()
	return []row{{rows[0].height, func(x, y float64) {
		rows[0].draw(x, y)
		f.line(source[0], x+right, y+down, smallStyle)
	}}}
}
