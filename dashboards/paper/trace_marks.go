package paper

import "fmt"

// marks lists the marks by the numbers of their flags, in columns that are read
// downwards.
func (f *flow) marks(t Trace, width float64) []row {
	marks := t.inside()
	const columns, numberWide, timeWide = 3, 5.0, 8.0
	each := (width+cellGap)/columns - cellGap
	widths := []float64{}
	for range columns {
		widths = append(widths, numberWide, timeWide, each-numberWide-timeWide-2*cellGap)
	}
	down := (len(marks) + columns - 1) / columns
	var rows []row
	for i := range down {
		var cells []cell
		for n := i; n < len(marks); n += down {
			text := cell{marks[n].Text, tickStyle}
			if marks[n].Alarm {
				text = cell{"alarm " + marks[n].Text, style{points: tickStyle.points, weight: bold, colour: alarm}}
			}
			cells = append(cells, cell{fmt.Sprint(n + 1), style{points: tickStyle.points, weight: bold, colour: ink}}, cell{since(marks[n].At - t.Zero), tickStyle}, text)
		}
		rows = append(rows, f.cells(widths, cells)...)
	}
	return rows
}
