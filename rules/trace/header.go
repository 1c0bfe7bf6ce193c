package trace

import (
	"fmt"
	"strings"

	"bainward/sensors"
)

// column is one of the columns that a trace may have.
type column uint8

const (
	timeColumn column = iota
	oilColumn
	bathColumn
	roomColumn
	pressureColumn
	eventColumn
	columnCount
)

var columnNames = [columnCount]string{"time", "oil_c", "bath_c", "room_c", "pressure_hpa", "event"}

func (c column) String() string { return columnNames[c%columnCount] }

func (c column) required() bool { return c <= bathColumn }

// probeColumns are the columns of temperatures, by the probe's role.
var probeColumns = [sensors.RoleCount]column{
	sensors.Oil: oilColumn, sensors.Bath: bathColumn, sensors.Room: roomColumn,
}

// layout says which cell of a line holds which column; -1 if none does.
type layout struct {
	cell  [columnCount]int
	cells int
}

func (l layout) has(c column) bool { return l.cell[c] >= 0 }

// parseHeader finds the columns in the header, which stands on the given line.
func parseHeader(names []string, line int) (layout, error) {
	l := layout{cells: len(names)}
	for c := range l.cell {
		l.cell[c] = -1
	}
	for i, name := range names {
		c, known := findColumn(name)
		if !known {
			return layout{}, &Error{line, fmt.Sprintf("%q", name), unknownColumn(name)}
		}
		if l.has(c) {
			return layout{}, &Error{line, name, fmt.Errorf("named twice, as column %d and column %d", l.cell[c]+1, i+1)}
		}
		l.cell[c] = i
	}
	for c := range columnCount {
		if c.required() && !l.has(c) {
			return layout{}, &Error{line, c.String(), fmt.Errorf("missing: the header must name time, oil_c and bath_c")}
		}
	}
	return l, nil
}

func findColumn(name string) (column, bool) {
	for c, n := range columnNames {
		if n == name {
			return column(c), true
		}
	}
	return 0, false
}

func unknownColumn(name string) error {
	const want = "want time, oil_c, bath_c and perhaps room_c, pressure_hpa, event"
	if strings.ContainsAny(name, ";\t") {
		return fmt.Errorf("unknown column: %s, separated by commas", want)
	}
	return fmt.Errorf("unknown column: %s", want)
}
