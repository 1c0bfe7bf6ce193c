package site

import (
	"fmt"
	"strings"

	"bainward/rules/batch"
	"bainward/rules/batch/amount"
	"bainward/rules/batch/strength"
)

// explainVessels tells the sizes that only a plan needs; nothing if none is
// given.
func explainVessels(b *strings.Builder, v batch.Vessels) {
	var known []string
	add := func(x float64, format string) {
		if x > 0 {
			known = append(known, fmt.Sprintf(format, plain(x)))
		}
	}
	add(v.PanDepth, "pan %s mm deep inside")
	add(v.DishDepth, "dish %s mm deep inside")
	add(v.DishKg, "dish %s kg empty")
	add(v.HobW, "hob gives the water %s W at full")
	if len(known) > 0 {
		fmt.Fprintf(b, "  plan  %s\n", strings.Join(known, ", "))
	}
}

// explainGiven tells what the maker measured for the recipe's plan.
func (s *Site) explainGiven(b *strings.Builder, r Recipe) {
	g := r.Given
	var known []string
	if g.OilKg > 0 {
		known = append(known, fmt.Sprintf("the oil is weighed, about %s ml at %s", plain(r.OilML), s.Units.Temp(20)))
	}
	if g.OilAtC > 0 {
		known = append(known, "the oil is measured at "+s.Units.Temp(g.OilAtC))
	}
	if g.HerbBulkML > 0 {
		known = append(known, fmt.Sprintf("the chopped herb takes %s ml", plain(g.HerbBulkML)))
	}
	if share, err := g.Sample.Water(); err == nil {
		percent := func(x float64) string { return fmt.Sprintf("%.0f %%", 100*x) }
		known = append(known, fmt.Sprintf("%s of the herb is water, by a sample of %s g that dried to %s g",
			amount.Say(share.Range, percent), plain(g.Sample.FreshG), plain(g.Sample.DriedG)))
	}
	if g.Press != strength.Drained {
		known = append(known, "the herb is "+g.Press.String())
	}
	if len(known) > 0 {
		fmt.Fprintf(b, "  plan: %s\n", strings.Join(known, "; "))
	}
}
