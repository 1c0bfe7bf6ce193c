package label

import (
	"fmt"
	"math"

	"bainward/rules"
	"bainward/rules/batch/amount"
	"bainward/rules/batch/larder"
)

// volumeC is the temperature at which a volume on a label holds: 20 °C in the
// EU (Directive 76/211/EEC, annex I), 68 °F in the USA (16 CFR 500; both from
// memory).
const volumeC = 20.0

// smallest is the content below which none need be given: 5 g or 5 ml
// (Regulation (EC) No 1223/2009, Article 19(1)(b)).
const smallest = 5.0

// Content is the net content of one bottle.
type Content struct {
	Kg   float64 // as weighed: the truth
	Ml   float64 // at 20 °C; of what was weighed, the least that it may be
	Text string  // for the label
	// Needed: content must be given; below 5 g and 5 ml it need not.
	Needed bool
	// FigureMM is the least height of the figures (Directive 76/211/EEC, annex I,
	// from memory).
	FigureMM float64
}

// ContentOf returns the net content of a bottle that holds kg of oil. A label
// must not promise more than the bottle holds, so the volume is that of the
// heaviest oil of its kind, and figures are cut off, not rounded.
func ContentOf(kg float64, o larder.Oil, u rules.Units) Content {
	return content(kg, kg*1e6/o.Density(volumeC).P90, u)
}

// ContentOfVolume returns the net content of a bottle that was filled to ml at
// atC, in °C. How much an oil shrinks until it has 20 °C is known far better than
// how heavy it is, so a volume that was measured stays the truth. Oil filled at
// up to filledWarmK above 20 °C counts as filled at 20 °C: 100 ml at 22 °C is
// sold as 100 ml, not as 95.
func ContentOfVolume(ml, atC float64, o larder.Oil, u rules.Units) Content {
	if above := atC - volumeC; above > 0 && above <= filledWarmK {
		atC = volumeC
	}
	then, cold := o.Density(atC).P50, o.Density(volumeC).P50
	return content(ml*then/1e6, float64(ml*then)/cold, u)
}

// filledWarmK is far within what a bottle may lack (3 K of oil are 0.2 %; Directive
// 76/211/EEC lets a single one of 100 ml lack 4.5 ml, from memory) and is the
// margin above the room at which a bottling counts as warm.
const filledWarmK = 3.0

func content(kg, ml float64, u rules.Units) Content {
	c := Content{Kg: kg, Ml: ml, Needed: kg*1000 >= smallest || ml >= smallest}
	said := down(ml, stepFor(ml))
	switch {
	case u == rules.US:
		floz := down(ml/amount.MlPerFlOz, 0.1)
		said = down(floz*amount.MlPerFlOz, 1)
		c.Text = fmt.Sprintf("Net %.1f fl oz (%.0f ml)", floz, said)
	case said >= 1000:
		c.Text = fmt.Sprintf("%.2f l", said/1000)
	default:
		c.Text = fmt.Sprintf("%.0f ml", said)
	}
	c.FigureMM = figure(said)
	return c
}

// stepFor is the step in ml in which a metric label tells a volume.
func stepFor(ml float64) float64 {
	switch {
	case ml < 10:
		return 1
	case ml < 1000:
		return 5
	}
	return 10
}

// whisker keeps a whole number that came out a hair too small from being cut
// down to the one below.
const whisker = 1e-9

func down(x, step float64) float64 { return math.Floor(float64(x/step)+whisker) * step }

func figure(ml float64) float64 {
	switch {
	case ml <= 50:
		return 2
	case ml <= 200:
		return 3
	case ml <= 1000:
		return 4
	}
	return 6
}
