package trace

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"bainward/rules"
	"bainward/sensors"
)

// What a cell may hold. Beyond, it is a slip and not a measurement.
const (
	// A DS18B20 reads -55 … 125 °C (data sheet 19-7487), a thermocouple in
	// burning oil more.
	lowestC, highestC = -60, 400
	// The range of a BMP280 (data sheet BST-BMP280-DS001).
	lowestHPa, highestHPa = 300, 1100
)

// parseCelsius reads a temperature; an empty cell is a probe that did not
// answer.
func parseCelsius(cell string) (sensors.Reading, error) {
	if cell == "" {
		return sensors.Failed(sensors.Absent), nil
	}
	c, err := parseDecimal(cell)
	if err != nil {
		return sensors.Reading{}, err
	}
	if c < lowestC || c > highestC {
		return sensors.Reading{}, fmt.Errorf("%s °C is out of range: want %d to %d °C, or an empty cell for no reading", cell, lowestC, highestC)
	}
	return sensors.AtCelsius(c), nil
}

// parsePressure reads an air pressure; an empty cell is a barometer that did
// not answer.
func parsePressure(cell string) (sensors.Pressure, error) {
	if cell == "" {
		return sensors.Pressure{Fault: sensors.Absent}, nil
	}
	hpa, err := parseDecimal(cell)
	if err != nil {
		return sensors.Pressure{}, err
	}
	if hpa < lowestHPa || hpa > highestHPa {
		return sensors.Pressure{}, fmt.Errorf("%s hPa is out of range: want %d to %d hPa, or an empty cell for no reading", cell, lowestHPa, highestHPa)
	}
	return sensors.Pressure{Pascal: int32(math.Round(hpa * 100))}, nil
}

// parseDecimal reads a plain decimal number. strconv alone would also take
// NaN, Inf, hexadecimal and powers of ten.
func parseDecimal(cell string) (float64, error) {
	n, err := strconv.ParseFloat(cell, 64)
	if err != nil || strings.Trim(cell, "+-.0123456789") != "" {
		if strings.Contains(cell, ",") {
			return 0, fmt.Errorf("%q is not a decimal number: the decimal sign is a point, such as 19.8125", cell)
		}
		return 0, fmt.Errorf("%q is not a decimal number such as 19.8125", cell)
	}
	return n, nil
}

// parseEvents reads the maker's events, which semicolons separate.
func parseEvents(cell string) ([]rules.Event, error) {
	if err := checkText(cell); err != nil {
		return nil, err
	}
	return rules.ParseEvents(cell)
}

// checkText refuses what would not come back from a file as it went in, or what
// a terminal would obey.
func checkText(s string) error {
	if !utf8.ValidString(s) {
		return fmt.Errorf("%q is not UTF-8 text", s)
	}
	for _, r := range s {
		if r != '\n' && r != '\t' && (r < ' ' || r >= 0x7f && r <= 0x9f) {
			return fmt.Errorf("%q holds the control character %U", s, r)
		}
	}
	return nil
}
