package paper

import (
	"fmt"
	"math"
	"time"
	"unicode"

	"bainward/rules"
	"bainward/rules/batch/amount"
)

// What stands where there is nothing to print.
const (
	notEntered = "not entered"
	notKnown   = "not known"
)

func plainCell(s string) cell {
	if s == "" {
		return cell{notEntered, nameStyle}
	}
	return cell{s, bodyStyle}
}

// exactCell is for what may have to be typed or compared letter by letter.
func exactCell(s string) cell {
	if s == "" {
		return plainCell(s)
	}
	return cell{s, exactStyleOf(s)}
}

// exactStyleOf is the typewriter, in which 0 is not O and 1 is not l. Only plain
// ASCII is sure to be in it.
func exactStyleOf(s string) style {
	for _, r := range s {
		if r > unicode.MaxASCII && r != '—' { // the dash of a signed note
			return bodyStyle
		}
	}
	return exactStyle
}

func strong(s string) cell { return cell{s, strongStyle} }

// day writes a day of the calendar, which has no zone.
func day(t time.Time) string {
	if t.IsZero() {
		return notEntered
	}
	return t.Format(time.DateOnly)
}

// known tells a measured amount from one that nobody gave.
func known(x float64) bool { return x > 0 && !math.IsInf(x, 0) }

func mass(u rules.Units, kg float64) string {
	if !known(kg) {
		return notEntered
	}
	return amount.Mass(u, kg)
}

func volume(u rules.Units, l float64) string {
	if !known(l) {
		return "–"
	}
	return amount.Volume(u, l)
}

// bottleVolume is finer than volume: a jug's step is a good part of a bottle.
func bottleVolume(u rules.Units, l float64) string {
	if u != rules.US || !known(l) {
		return volume(u, l)
	}
	return fmt.Sprintf("%.1f fl oz (%.0f ml)", l*1000/amount.MlPerFlOz, l*1000)
}

func temperature(u rules.Units, c float64) string {
	if math.IsNaN(c) || math.IsInf(c, 0) || c == 0 {
		return notKnown
	}
	return u.Temp(c)
}

// uncertainty writes an expanded uncertainty with the two digits that JCGM
// 100:2008, 7.2.6, allows.
func uncertainty(u rules.Units, kelvin float64) string {
	if u == rules.US {
		return fmt.Sprintf("± %.2f °F", kelvin*1.8)
	}
	return fmt.Sprintf("± %.2f °C", kelvin)
}

func times(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

func length(u rules.Units, mm float64, from string) cell {
	if !known(mm) {
		return plainCell("")
	}
	return plainCell(amount.Length(u, mm) + from)
}

func share(x float64) string {
	if !known(x) {
		return notKnown
	}
	return fmt.Sprintf("%.1f %%", x*100)
}
