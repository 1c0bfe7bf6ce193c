package trace

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"time"

	"bainward/sensors"
)

// Read returns the rows of a trace, in order. What does not fit the format is
// an *Error; any other error is that of r. Either way no row is returned.
// A header without rows is an empty trace.
func Read(r io.Reader) ([]Row, error) {
	text, err := withoutMark(r)
	if err != nil {
		return nil, err
	}
	c := csv.NewReader(text)
	c.ReuseRecord = true
	c.FieldsPerRecord = -1 // counted below, to say it in our words
	header, line, err := next(c)
	if err == io.EOF {
		return nil, &Error{Line: 1, Err: errors.New("the trace is empty: want a header such as time,oil_c,bath_c")}
	}
	if err != nil {
		return nil, err
	}
	l, err := parseHeader(header, line)
	if err != nil {
		return nil, err
	}
	var rows []Row
	for {
		cells, line, err := next(c)
		if err == io.EOF {
			return rows, nil
		}
		if err != nil {
			return nil, err
		}
		row, err := l.parse(cells, line)
		if err != nil {
			return nil, err
		}
		if err := row.follow(rows); err != nil {
			return nil, err
		}
		rows = append(rows, row)
	}
}

// withoutMark passes over the byte order mark with which some programs begin
// UTF-8, and refuses that of UTF-16.
func withoutMark(r io.Reader) (io.Reader, error) {
	b := bufio.NewReader(r)
	start, err := b.Peek(3)
	if err != nil && err != io.EOF {
		return nil, fmt.Errorf("read trace: %w", err)
	}
	if bytes.Equal(start, []byte("\xEF\xBB\xBF")) {
		_, err := b.Discard(len(start))
		return b, err
	}
	if bytes.HasPrefix(start, []byte("\xFF\xFE")) || bytes.HasPrefix(start, []byte("\xFE\xFF")) {
		return nil, &Error{Line: 1, Err: errors.New("the file is UTF-16: save it as CSV in UTF-8")}
	}
	return b, nil
}

// next returns the cells of the next line that is not empty, and where it
// begins. At the end it returns io.EOF itself.
func next(c *csv.Reader) (cells []string, line int, err error) {
	cells, err = c.Read()
	var bad *csv.ParseError
	switch {
	case err == nil:
		line, _ = c.FieldPos(0)
		return cells, line, nil
	case err == io.EOF:
		return nil, 0, io.EOF
	case errors.As(err, &bad):
		return nil, 0, &Error{Line: bad.StartLine, Err: errors.New(
			"a quote out of place: a cell with a quote in it stands in quotes as a whole, and the quote in it is doubled")}
	}
	return nil, 0, fmt.Errorf("read trace: %w", err)
}

// parse reads the cells of one line.
func (l layout) parse(cells []string, line int) (Row, error) {
	if len(cells) != l.cells {
		return Row{}, &Error{Line: line, Err: fmt.Errorf("cells: %d, want %d as in the header", len(cells), l.cells)}
	}
	row := Row{Line: line, Pressure: sensors.Pressure{Fault: sensors.NotFitted}}
	fail := func(c column, err error) (Row, error) { return Row{}, &Error{line, c.String(), err} }
	var err error
	if row.Wall, err = parseTime(cells[l.cell[timeColumn]]); err != nil {
		return fail(timeColumn, err)
	}
	for role, c := range probeColumns {
		row.Probes[role] = sensors.Failed(sensors.NotFitted)
		if !l.has(c) {
			continue
		}
		if row.Probes[role], err = parseCelsius(cells[l.cell[c]]); err != nil {
			return fail(c, err)
		}
	}
	if l.has(pressureColumn) {
		if row.Pressure, err = parsePressure(cells[l.cell[pressureColumn]]); err != nil {
			return fail(pressureColumn, err)
		}
	}
	if l.has(eventColumn) {
		if row.Events, err = parseEvents(cells[l.cell[eventColumn]]); err != nil {
			return fail(eventColumn, err)
		}
	}
	return row, nil
}

// longest is more than any batch takes: a year mistyped.
const longest = 10 * 366 * 24 * time.Hour

// follow gives the row its offset after the rows before it.
func (r *Row) follow(before []Row) error {
	if len(before) == 0 {
		return nil
	}
	last := before[len(before)-1]
	r.At = r.Wall.Sub(before[0].Wall)
	if r.Wall.Before(last.Wall) {
		return &Error{r.Line, timeColumn.String(), fmt.Errorf("%s goes back behind %s of line %d: want rows in order of time",
			r.Wall.Format(time.RFC3339Nano), last.Wall.Format(time.RFC3339Nano), last.Line)}
	}
	if r.At > longest {
		return &Error{r.Line, timeColumn.String(), fmt.Errorf("%s is more than ten years after the first row",
			r.Wall.Format(time.RFC3339Nano))}
	}
	return nil
}
