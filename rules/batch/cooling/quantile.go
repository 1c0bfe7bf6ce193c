package cooling

import (
	"cmp"
	"slices"

	"bainward/rules/batch/amount"
)

// answer is a time in s and how much it weighs.
type answer struct{ s, weight float64 }

// quantiles returns where a tenth, half and nine tenths of the weight lie.
func quantiles(all []answer) amount.Range {
	if len(all) == 0 {
		return amount.Unknown
	}
	slices.SortFunc(all, func(a, b answer) int {
		return cmp.Or(cmp.Compare(a.s, b.s), cmp.Compare(a.weight, b.weight))
	})
	whole := 0.0
	for _, a := range all {
		whole += a.weight
	}
	return amount.Between(quantile(all, float64(0.1*whole)), quantile(all, float64(0.5*whole)), quantile(all, float64(0.9*whole)))
}

// quantile walks the answers to the weight at. Each stands in the middle of its
// own weight; between two it goes straight.
func quantile(all []answer, at float64) float64 {
	sum, last, reached := 0.0, all[0].s, 0.0
	for _, a := range all {
		middle := sum + float64(a.weight/2)
		if middle >= at {
			part := (at - reached) / (middle - reached)
			return last + float64(part*(a.s-last))
		}
		last, reached = a.s, middle
		sum += a.weight
	}
	return last
}
