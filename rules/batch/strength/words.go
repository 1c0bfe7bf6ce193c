package strength

import (
	"fmt"

	"bainward/rules"
	"bainward/rules/batch/amount"
)

// Doubling is what the trade says of a second maceration.
const Doubling = "A second maceration of the same oil with fresh herb doubles its strength (common practice, no source)."

// Lines says the books in sentences, each telling which figure it gives.
func (r Result) Lines(u rules.Units) []string {
	mass := func(kg float64) string { return amount.Mass(u, kg) }
	lines := []string{
		fmt.Sprintf("Strength: %s, dry herb behind the oil that is in the bottle.", amount.Say(r.OneTo, parts)),
		fmt.Sprintf("Herb used: %s as weighed, %s as dry herb.", mass(r.HerbKg), amount.Say(r.DryKg, mass)),
		fmt.Sprintf("Oil: %s in, %s out (%.0f %%), %s in the marc, %s.", mass(r.NewKg.P50), amount.Say(r.OutKg, mass), 100*r.Yield.P50, amount.Say(r.MarcKg, mass), r.marcWords()),
		fmt.Sprintf("DER (herb used to oil obtained, as dry herb): %s.", amount.Say(r.DER, parts)),
	}
	if len(r.Passes) > 1 {
		lines[3] += " Over several macerations this counts herb whose share stayed in the marcs: it is not the strength."
		lines = append(lines, Doubling)
	}
	return lines
}

// parts says 1:x to three figures: no herb is weighed and dried better than that.
func parts(x float64) string {
	if x < 10 {
		return fmt.Sprintf("1:%.2f", x)
	}
	return fmt.Sprintf("1:%.1f", x)
}

func (r Result) marcWords() string {
	if r.AllWeighed {
		return "weighed"
	}
	return "estimated: weigh the oil that comes out to know it"
}
