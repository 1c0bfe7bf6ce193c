package guide

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"bainward/rules"
	"bainward/rules/batch/amount"
)

func (w *writer) us() bool { return w.u == rules.US }

func (w *writer) mass(kg float64) string { return amount.Mass(w.u, kg) }

// scale offers kg as a kitchen scale shows it, with the units of one; 0 or not
// known: only the units.
func (w *writer) scale(kg float64) (units []string, value string) {
	units, value = []string{"g", "kg"}, strconv.FormatFloat(math.Round(kg*1000), 'f', -1, 64)
	if w.us() {
		units, value = []string{"oz", "lb"}, strconv.FormatFloat(math.Round(kg/amount.KgPerOunce*10)/10, 'f', -1, 64)
	}
	if !(kg > 0) || math.IsInf(kg, 0) {
		value = ""
	}
	return units, value
}

// degrees writes a temperature for a field in the reader's unit.
func (w *writer) degrees(c float64) string {
	if w.us() {
		c = float64(c*1.8) + 32
	}
	return strconv.FormatFloat(math.Round(c), 'f', -1, 64)
}

// quantity says an amount that was entered, or that none was.
func (w *writer) quantity(q rules.Quantity, of string) string {
	if !q.Given() {
		return "without an amount"
	}
	return q.String() + " " + of
}

// words writes small numbers as people say them.
func words(n int) string {
	if n >= 1 && n <= 4 {
		return [...]string{"one", "two", "three", "four"}[n-1]
	}
	return strconv.Itoa(n)
}

// lower lets a sentence go on after a colon.
func lower(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToLower(r)) + strings.TrimSuffix(s[n:], ".")
}

// farOffS: nobody reckons further ahead than a day, s.
const farOffS = 24 * 3600

// lasting says how long r is, as far as that can be told.
func lasting(r amount.Range) string {
	if r.P90 >= farOffS {
		return amount.Clock(r.P50) + " (" + amount.Clock(r.P10) + " at the least)"
	}
	return amount.Say(r, amount.Clock)
}

func parts(x float64) string { return strconv.FormatFloat(x, 'f', 1, 64) }
