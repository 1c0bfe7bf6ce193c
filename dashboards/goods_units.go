package dashboards

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"bainward/rules"
	jug "bainward/rules/batch/amount"
	"bainward/rules/batch/ledger"
)

// millilitres writes a volume as the books count it, to a tenth of a ml or of a
// fluid ounce: a bottle is small, and what is left of it is smaller.
func millilitres(u rules.Units, ml float64) string {
	if u == rules.US {
		return trimmed(ml/jug.MlPerFlOz, 1) + " fl oz"
	}
	return trimmed(ml, 1) + " ml"
}

// trimmed writes at most so many decimals, and no zeros at the end.
func trimmed(v float64, decimals int) string {
	pow := math.Pow10(decimals)
	return strconv.FormatFloat(math.Round(v*pow)/pow, 'f', -1, 64)
}

func degrees(u rules.Units, c float64) string {
	if u == rules.US {
		return trimmed(toFahrenheit(c), 0) + " °F"
	}
	return trimmed(c, 1) + " °C"
}

func toFahrenheit(c float64) float64 { return float64(c*1.8) + 32 }

// isUS and isVolume sort the units of an amount.
func isUS(unit rules.Unit) bool {
	return unit == rules.Pound || unit == rules.Ounce || unit == rules.FluidOunce
}

func isVolume(q rules.Quantity) bool { return q.Kilograms(0) == 0 }

// amountWords writes an amount as the maker did; if that was in the other system
// of units, the site's comes first. What was entered is never hidden.
func amountWords(u rules.Units, a ledger.Amount) string {
	q := rules.Quantity(a)
	if !q.Given() {
		return ""
	}
	written := strings.Replace(q.String(), "floz", "fl oz", 1)
	if isUS(q.Unit) == (u == rules.US) {
		return written
	}
	if isVolume(q) {
		return fmt.Sprintf("%s (%s)", millilitres(u, q.Kilograms(1)*1000), written)
	}
	return fmt.Sprintf("%s (%s)", massWords(u, q.Kilograms(0)), written)
}

// massWords is jug.Mass, but for less than an ounce to a hundredth: so fine is a
// scale that weighs to the gram.
func massWords(u rules.Units, kg float64) string {
	if ounces := kg / jug.KgPerOunce; u == rules.US && ounces < 1 {
		return trimmed(ounces, 2) + " oz"
	}
	return jug.Mass(u, kg)
}

// SayFact says a fact on one line, in the site's units.
func SayFact(u rules.Units, f ledger.Fact) string {
	if u != rules.US {
		return f.String()
	}
	measured := func(c float64) string {
		if c == 0 {
			return ""
		}
		return ", measured at " + degrees(u, c)
	}
	switch f := f.(type) {
	case ledger.Material:
		c := f.AtC
		f.Quantity, f.AtC = inOunces(f.Quantity), 0
		return spaced(f.String(), f.Quantity) + measured(c)
	case ledger.Weighing:
		f.Quantity = inOunces(f.Quantity)
		return f.String()
	case ledger.Bottles:
		c := f.AtC
		f.Each, f.AtC = inOunces(f.Each), 0
		return spaced(f.String(), f.Each) + measured(c)
	case ledger.Given:
		f.Quantity = inOunces(f.Quantity)
		return spaced(f.String(), f.Quantity)
	}
	return f.String()
}

// spaced writes the unit of an amount, which comes before whatever people wrote,
// as they read it.
func spaced(text string, a ledger.Amount) string {
	if a.IsZero() {
		return text
	}
	return strings.Replace(text, a.String(), strings.Replace(a.String(), "floz", "fl oz", 1), 1)
}

// inOunces returns the amount in US units, to a tenth.
func inOunces(a ledger.Amount) ledger.Amount {
	q := rules.Quantity(a)
	switch {
	case !q.Given() || isUS(q.Unit):
		return a
	case isVolume(q):
		q = rules.Quantity{Milli: tenths(q.Kilograms(1) * 1000 / jug.MlPerFlOz), Unit: rules.FluidOunce}
	default:
		q = rules.Quantity{Milli: tenths(q.Kilograms(0) / jug.KgPerOunce), Unit: rules.Ounce}
	}
	return ledger.Amount(q)
}

// tenths is v in thousandths, rounded to a tenth.
func tenths(v float64) int64 { return int64(math.Round(v*10)) * 100 }

// MachineWords puts the metric amounts of a sentence that the program made into
// the site's units. Quoted parts are what somebody wrote, and stay.
func MachineWords(u rules.Units, text string) string {
	if u != rules.US {
		return text
	}
	parts := strings.Split(text, `"`)
	for i := 0; i < len(parts); i += 2 {
		parts[i] = metricAmount().ReplaceAllStringFunc(parts[i], toUS)
	}
	return strings.Join(parts, `"`)
}

func metricAmount() *regexp.Regexp {
	return regexp.MustCompile(`\b(\d+(?:\.\d+)?) (?:kg|g|ml|l|°C more|°C)(?:\b|$)`)
}

func toUS(text string) string {
	number, unit, _ := strings.Cut(text, " ")
	v, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return text
	}
	switch unit {
	case "kg":
		return jug.Mass(rules.US, v)
	case "g":
		return jug.Mass(rules.US, v/1000)
	case "l":
		return millilitres(rules.US, v*1000)
	case "ml":
		return millilitres(rules.US, v)
	case "°C more": // a difference
		return trimmed(v*1.8, 0) + " °F more"
	}
	return degrees(rules.US, v)
}

// plainly shows the invisible signs that turn the direction of a text round: what
// somebody wrote must not pass for other words than it is (Unicode Standard Annex
// 9, table of explicit directional formatting characters).
func plainly(text string) string {
	if !strings.ContainsFunc(text, turns) {
		return text
	}
	var out strings.Builder
	for _, r := range text {
		if turns(r) {
			fmt.Fprintf(&out, "[U+%04X]", r)
			continue
		}
		out.WriteRune(r)
	}
	return out.String()
}

func turns(r rune) bool {
	return r >= 0x202A && r <= 0x202E || r >= 0x2066 && r <= 0x2069
}
