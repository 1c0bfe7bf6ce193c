package larder

import (
	"fmt"

	"bainward/rules/batch/amount"
)

// Sample is a handful of the herb weighed before and after drying, in grams.
// The zero Sample says nothing.
type Sample struct {
	FreshG float64 `json:"fresh_g"`
	DriedG float64 `json:"dried_g"`
	// BoneDry: dried in an oven until it lost no more; otherwise it was dried in
	// air until it crackled and still holds as much water as dried herb does.
	BoneDry bool `json:"bone_dry"`
}

// Given reports whether there is a sample at all.
func (s Sample) Given() bool { return s != Sample{} }

// scaleG is how far a kitchen scale is off, either way.
const scaleG = 0.5

// Water returns the share of water in the herb from which the sample was taken.
// It replaces the table.
func (s Sample) Water() (Share, error) {
	if !(s.FreshG > 0 && s.DriedG > 0 && s.DriedG <= s.FreshG) {
		return Share{}, fmt.Errorf("weighed sample of %g g fresh and %g g dried: both must be above 0, and drying cannot add weight: weigh again", s.FreshG, s.DriedG)
	}
	still := amount.Between(0.06, ReferenceDry, 0.12)
	if s.BoneDry {
		still = amount.Exactly(0)
	}
	share := amount.Propagate(func(x []float64) float64 { return 1 - float64(x[1]/x[0]*(1-x[2])) },
		amount.Between(s.FreshG-min(scaleG, s.FreshG/2), s.FreshG, s.FreshG+scaleG),
		amount.Between(max(0, s.DriedG-scaleG), s.DriedG, min(s.FreshG, s.DriedG+scaleG)), still)
	share.P10, share.P90 = max(0, share.P10), min(1, share.P90)
	return Share{share, "weighed by the maker before and after drying"}, nil
}
