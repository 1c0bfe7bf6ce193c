package paper

// tallest is how many lines one row may have; taller cells go on in the next
// row, so that a long text can run over the end of a page.
const tallest = 6

// cell is a text in a column.
type cell struct {
	text string
	style
}

// column of a table: its head and its share of the width.
type tableColumn struct {
	head  string
	share float64
}

const (
	cellGap  = 2.0  // between columns, mm
	belowRow = 0.35 // below the last line of a row
)

// table makes a part of a table. None gives the words for an empty one.
func (f *flow) table(title string, width float64, columns []tableColumn, cells [][]cell, none string) part {
	if len(cells) == 0 {
		return part{title: title, width: width, rows: f.text(none, width, bodyStyle)}
	}
	total := 0.0
	for _, c := range columns {
		total += c.share
	}
	widths := make([]float64, len(columns))
	heads := make([]cell, len(columns))
	for i, c := range columns {
		widths[i] = c.share/total*(width+cellGap) - cellGap
		heads[i] = cell{c.head, smallStyle}
	}
	p := part{title: title, width: width, head: f.cells(widths, heads)[0]}
	for _, r := range cells {
		p.rows = append(p.rows, f.cells(widths, r)...)
	}
	return p
}

// cells makes one row of a table, or several if a cell is very tall.
func (f *flow) cells(widths []float64, cells []cell) []row {
	wrapped := make([][]textLine, len(cells))
	lines, height := 1, 0.0
	for i, c := range cells {
		wrapped[i] = f.lines(c.text, widths[i], c.style)
		lines, height = max(lines, len(wrapped[i])), max(height, c.style.height())
	}
	var rows []row
	for from := 0; from < lines; from += tallest {
		to := min(from+tallest, lines)
		rows = append(rows, row{float64(float64(to-from)*height) + belowRow, func(x, y float64) {
			for i, c := range cells {
				for n := from; n < min(to, len(wrapped[i])); n++ {
					f.line(wrapped[i][n], x, y+float64(float64(n-from)*height), c.style)
				}
				x += widths[i] + cellGap
			}
		}})
	}
	return rows
}

// text makes rows of running text.
func (f *flow) text(s string, width float64, st style) []row {
	var rows []row
	for _, l := range f.lines(s, width, st) {
		rows = append(rows, row{st.height(), func(x, y float64) {
			if l.rightToLeft {
				x += width - l.width
			}
			f.line(l, x, y, st)
		}})
	}
	if len(rows) > 0 {
		rows[len(rows)-1].height += belowRow
	}
	return rows
}

// fact is a name with its value.
type fact struct {
	name  string
	value cell
}

// facts makes rows of facts, the names in a column of their own.
func (f *flow) facts(width, names float64, all []fact) []row {
	var rows []row
	for _, one := range all {
		if one.value.text == "" {
			one.value = cell{notEntered, nameStyle}
		}
		rows = append(rows, f.cells([]float64{names, width - names - cellGap}, []cell{{one.name, nameStyle}, one.value})...)
	}
	return rows
}
