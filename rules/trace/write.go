package trace

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"bainward/rules"
	"bainward/sensors"

	"periph.io/x/conn/v3/physic"
)

// Write writes rows as a trace that Read takes: lines end in LF, temperatures
// have four decimals (the steps of sensors.Grid), pressures two (a pascal).
// The columns room_c, pressure_hpa and event are left out if no row has
// anything for them. A reading with a fault, whichever, is an empty cell.
//
// A trace that was read is written so that it reads back the same, and a trace
// that was written comes out byte for byte when read and written again.
// What Read would refuse is an error before a byte is written: above all a
// Wall that goes back. Where a clock was set back, give the rows Wall = the
// first Wall + At.
//
// No cell begins with a sign that a spreadsheet takes for a formula, but for
// the minus of a temperature: an event begins with its word.
func Write(w io.Writer, rows []Row) error {
	lines, err := table(rows)
	if err != nil {
		return err
	}
	c := csv.NewWriter(w)
	if err := c.WriteAll(lines); err != nil {
		return fmt.Errorf("write trace: %w", err)
	}
	return nil
}

// table returns the header and the cells of each row.
func table(rows []Row) ([][]string, error) {
	columns := usedColumns(rows)
	header := make([]string, len(columns))
	for i, c := range columns {
		header[i] = c.String()
	}
	lines := append(make([][]string, 0, len(rows)+1), header)
	for i, row := range rows {
		cells := make([]string, len(columns))
		for k, c := range columns {
			var err error
			if cells[k], err = row.cell(c); err != nil {
				return nil, fmt.Errorf("write trace: row %d, column %s: %w", i+1, c, err)
			}
		}
		if i > 0 && row.Wall.Before(rows[i-1].Wall) {
			return nil, fmt.Errorf("write trace: row %d, column time: %s goes back behind the row before", i+1, cells[0])
		}
		if i > 0 && row.Wall.Sub(rows[0].Wall) > longest {
			return nil, fmt.Errorf("write trace: row %d, column time: %s is more than ten years after the first row", i+1, cells[0])
		}
		lines = append(lines, cells)
	}
	return lines, nil
}

// usedColumns lists the required columns and those that some row fills.
func usedColumns(rows []Row) []column {
	var used [columnCount]bool
	for _, r := range rows {
		used[roomColumn] = used[roomColumn] || r.Probes[sensors.Room].Fault != sensors.NotFitted
		used[pressureColumn] = used[pressureColumn] || r.Pressure.Fault != sensors.NotFitted
		used[eventColumn] = used[eventColumn] || len(r.Events) > 0
	}
	var columns []column
	for c := range columnCount {
		if c.required() || used[c] {
			columns = append(columns, c)
		}
	}
	return columns
}

// cell returns what the row has for a column.
func (r Row) cell(c column) (string, error) {
	switch c {
	case timeColumn:
		return timeCell(r.Wall)
	case pressureColumn:
		return pressureCell(r.Pressure)
	case eventColumn:
		return eventCell(r.Events)
	}
	return celsiusCell(r.Probes[slices.Index(probeColumns[:], c)])
}

func timeCell(t time.Time) (string, error) {
	text, err := t.UTC().MarshalText()
	if err != nil {
		return "", fmt.Errorf("%v is not within the years 0 to 9999 in UTC", t.UTC())
	}
	return string(text), nil
}

func celsiusCell(r sensors.Reading) (string, error) {
	if !r.OK() {
		return "", nil
	}
	steps := int64((sensors.At(r.Temperature).Temperature - physic.ZeroCelsius) / sensors.Grid)
	if degree := int64(physic.Celsius / sensors.Grid); steps < lowestC*degree || steps > highestC*degree {
		return "", fmt.Errorf("%s is out of range: want %d to %d °C", r.Temperature, lowestC, highestC)
	}
	return fixed(steps, 4), nil
}

func pressureCell(p sensors.Pressure) (string, error) {
	if !p.OK() {
		return "", nil
	}
	if p.Pascal < lowestHPa*100 || p.Pascal > highestHPa*100 {
		return "", fmt.Errorf("%d Pa is out of range: want %d to %d hPa", p.Pascal, lowestHPa, highestHPa)
	}
	return fixed(int64(p.Pascal), 2), nil
}

// fixed writes n·10^-decimals in full.
func fixed(n int64, decimals int) string {
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	digits := strconv.FormatInt(n, 10)
	if short := decimals + 1 - len(digits); short > 0 {
		digits = strings.Repeat("0", short) + digits
	}
	point := len(digits) - decimals
	return sign + digits[:point] + "." + digits[point:]
}

func eventCell(events []rules.Event) (string, error) {
	words := make([]string, len(events))
	for i, e := range events {
		words[i] = e.String()
	}
	cell := strings.Join(words, "; ")
	back, err := parseEvents(cell)
	if err != nil {
		return "", err
	}
	// A semicolon in a note would begin another event.
	if !slices.Equal(back, events) {
		return "", errors.New("the event " + strconv.Quote(cell) + " would read back as another")
	}
	return cell, nil
}
