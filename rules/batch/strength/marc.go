package strength

import (
	"fmt"

	"bainward/rules/batch/amount"
)

// How tells how the oil that a marc keeps became known.
type How uint8

// The ways.
const (
	Drained      How = iota // estimated: strained by its own weight
	HandPressed             // estimated: wrung in a cloth
	ScrewPressed            // estimated: in a press
	Weighed
	howCount
)

var howWords = [howCount]string{"drained", "pressed by hand", "pressed with a screw", "weighed"}

func (h How) String() string {
	if h < howCount {
		return howWords[h]
	}
	return "unknown"
}

// Marc is the oil in kg that stayed in the spent herb.
type Marc struct {
	How How
	Kg  amount.Range
}

// Keeps returns how many kg of oil a kg of dry herb keeps. No pharmacopoeia
// gives a number: these are rules of thumb, remembered with half a heart. Weigh.
func Keeps(h How) amount.Range {
	switch h {
	case HandPressed:
		return amount.Between(0.5, 0.75, 1)
	case ScrewPressed:
		return amount.Between(0.2, 0.35, 0.5)
	}
	return amount.Between(1, 1.5, 2)
}

// Estimated returns what the marc of dryKg of dry herb is thought to keep.
func Estimated(h How, dryKg amount.Range) Marc {
	if h == Weighed {
		h = Drained // nobody weighed
	}
	product := func(x []float64) float64 { return x[0] * x[1] }
	return Marc{h, amount.Propagate(product, dryKg, Keeps(h))}
}

// FromOil returns the oil in the marc as the difference of two weighings: the
// oil that went in and the oil that came out, each within scaleKg.
func FromOil(inKg, outKg, scaleKg float64) (Marc, error) {
	if !(inKg > 0 && outKg >= 0 && outKg <= inKg) {
		return Marc{}, fmt.Errorf("weigh oil: %g kg went in and %g kg came out: settle the water and weigh again", inKg, outKg)
	}
	in, out := amount.About(inKg, scaleKg/inKg), amount.Between(outKg-scaleKg, outKg, outKg+scaleKg)
	return Marc{Weighed, amount.NotBelowZero(amount.Propagate(minus, in, out))}, nil
}

// FromMarc returns the oil in a marc that was weighed wet: what is neither the
// herb's dry matter nor the water it still holds is oil.
func FromMarc(marcKg float64, dryMatterKg, waterLeftKg amount.Range) (Marc, error) {
	rest := amount.Propagate(func(x []float64) float64 { return x[0] - x[1] - x[2] }, amount.Exactly(marcKg), dryMatterKg, waterLeftKg)
	if !(rest.P90 > 0) {
		return Marc{}, fmt.Errorf("weigh marc: %g kg is less than its herb and water, %.3f kg: weigh again", marcKg, dryMatterKg.P50+waterLeftKg.P50)
	}
	return Marc{Weighed, amount.NotBelowZero(rest)}, nil
}

func minus(x []float64) float64 { return x[0] - x[1] }
