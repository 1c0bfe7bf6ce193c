package batch

import "bainward/rules"

// Warning names what may be wrong with a plan.
type Warning uint8

// The warnings, what is dangerous first.
const (
	FillBelowBase Warning = iota
	PanOverflows
	DishFloats
	DishTooFull
	CeilingTooHigh
	FloorTooHigh
	NeverWarm
	OilTooLittle
	HerbTooWet
	HerbWaterTooMuch
	RingTooNarrow
	WaterTooOften
	MarcKeepsTooMuch
	OilMeasuredHot
	HerbUnknown
	OilUnknown
	SampleImpossible
	WarningCount
)

var warningWords = [WarningCount]string{
	"fill-below-base", "pan-overflows", "dish-floats", "dish-too-full", "ceiling-too-high", "floor-too-high", "never-warm",
	"oil-too-little", "herb-too-wet", "herb-water-too-much", "ring-too-narrow", "water-too-often", "marc-keeps-too-much",
	"oil-measured-hot", "herb-unknown", "oil-unknown", "sample-impossible",
}

func (w Warning) String() string {
	if w < WarningCount {
		return warningWords[w]
	}
	return "unknown-warning"
}

// Finding is what one warning says of a plan. A and B are the numbers that its
// sentence needs. NotEvaluated means that something was not known: Lacks says
// what.
type Finding struct {
	Level rules.Level
	A     float64
	B     float64
	Lacks string
}

func lacks(what string) Finding { return Finding{Lacks: what} }

// when is raised if is, else clear.
func when(is bool, a, b float64) Finding {
	if is {
		return Finding{Level: rules.Raised, A: a, B: b}
	}
	return Finding{Level: rules.Clear, A: a, B: b}
}
