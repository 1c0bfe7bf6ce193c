package larder

import "bainward/rules/batch/amount"

// DryFactor returns what a kilogram of herb with the share from of water weighs
// when it holds the share to: dry matter stays.
func DryFactor(from, to float64) float64 { return (1 - from) / (1 - to) }

// DryEquivalent returns what kg of herb with the share water of water weigh as
// dry herb, at ReferenceDry.
func DryEquivalent(kg float64, water amount.Range) amount.Range {
	return amount.Propagate(func(x []float64) float64 { return kg * DryFactor(x[0], ReferenceDry) }, water)
}

// AsWeighed returns how much herb with the share water of water stands for dryKg
// of dry herb.
func AsWeighed(dryKg float64, water amount.Range) amount.Range {
	return amount.Propagate(func(x []float64) float64 { return dryKg / DryFactor(x[0], ReferenceDry) }, water)
}

// ForRatio returns the herb in kg, as it is weighed, that makes 1 part of dry
// herb to parts of oil by weight.
func ForRatio(oilKg, parts float64, water amount.Range) amount.Range {
	return AsWeighed(oilKg/parts, water)
}

// tissue densities in kg/l: plant cells are mostly water, and their dry matter
// is cellulose and the like, 1.5 (from memory).
const (
	sapDensity    = 1.0
	matterDensity = 1.5
)

// TissueL returns the room in l that the tissue of kg of herb takes, without
// the gaps between the pieces.
func TissueL(kg, water float64) float64 {
	return float64(kg*water/sapDensity) + float64(kg*(1-water)/matterDensity)
}

// Bulk returns how many litres a kilogram of chopped herb takes when it is
// pressed down with a spoon. No source was found: these are own estimates with
// a wide range, and a jug of the maker's own herb is better.
func Bulk(p Part, fresh bool) Share {
	const source = "own estimate, no source: measure your chopped herb in a jug"
	switch {
	case fresh && p == Root:
		return Share{amount.Between(1.6, 2.0, 2.6), source}
	case fresh && p == Flower:
		return Share{amount.Between(3.0, 4.5, 6.5), source}
	case fresh:
		return Share{amount.Between(2.4, 3.3, 4.5), source}
	case p == Root || p == Bark || p == Seed || p == Fruit:
		return Share{amount.Between(2.0, 2.5, 3.3), source}
	case p == Flower:
		return Share{amount.Between(5.5, 8.0, 12.0), source}
	}
	return Share{amount.Between(3.6, 5.0, 7.0), source}
}
