package calibrate

import (
	"fmt"

	"bainward/rules/steam"
)

// Truth is what a point is at, and how well that is known.
type Truth struct {
	C float64 // °C
	U float64 // standard uncertainty, K
}

// kitchenIce: ice and tap water from a kitchen are within 0.1 K of the ice point
// (0.05 to 0.1 K; ASTM E563 describes the bath, the figure for a kitchen's from
// memory). Taken as the half-width of a rectangle.
const kitchenIce = 0.1

// Ice returns the ice point as a kitchen makes it: 0.000 °C in water that air has been
// dissolved in (the triple point, without air, is at 0.01 °C).
func Ice() Truth { return Truth{C: 0, U: Rectangular(kitchenIce)} }

const (
	// barometerPa: absolute accuracy of a BMP280, ±1 hPa (data sheet, from memory),
	// doubled for mounting and age.
	barometerPa = 200
	// weatherPa: from day to day the pressure stays within ±3 kPa of the standard
	// atmosphere (see rules/steam.StandardPressure).
	weatherPa = 3000
	// boilHalfWidth: a rolling boil in plain water is superheated, and tap water holds
	// something dissolved: ±0.1 K (own choice, no source).
	boilHalfWidth = 0.1
	// depthHalfWidth: by hand, a probe hangs within 1 cm of where it was said to, m.
	depthHalfWidth = 0.01
	gravity        = 9.80665 // m/s²
)

// MaxDepth is the deepest a probe may hang in the boiling water, m: deeper, what the
// weight of the water adds is no small correction any more.
const MaxDepth = 0.3

// Boil returns what water at a rolling boil is at, depth metres below its surface,
// under a measured pressure. Where it boils at all down there it is at the boiling
// point under the water above it; where the boil has mixed it, at that of the surface.
// The deeper point is taken, and half of the difference as half-width on top of that
// of a depth given by hand.
func Boil(pascal, depth float64) (Truth, error) {
	if !(depth >= 0 && depth <= MaxDepth) {
		return Truth{}, fmt.Errorf("calibrate: depth %.0f cm: want 0 to %.0f cm below the surface", depth*100, MaxDepth*100)
	}
	surface := steam.BoilingPoint(pascal)
	if !(surface >= lowestBoil && surface <= highestBoil) {
		return Truth{}, fmt.Errorf("calibrate: a pressure of %.1f hPa is nowhere where people cook: look at the barometer", pascal/100)
	}
	weight := steam.Density(surface) * gravity // Pa/m
	at := steam.BoilingPoint(pascal + float64(weight*depth))
	perPa := (steam.BoilingPoint(pascal+barometerPa) - steam.BoilingPoint(pascal-barometerPa)) / (2 * barometerPa)
	return Truth{C: at, U: Combined(
		Rectangular(perPa*barometerPa),
		Rectangular(float64((at-surface)*0.5)+float64(perPa*weight*depthHalfWidth)),
		Rectangular(boilHalfWidth),
	)}, nil
}

// Where people cook, water boils between these, °C.
const lowestBoil, highestBoil = 75, 103

// NoBarometer says why a site that knows no more than its elevation cannot calibrate
// at the boiling point.
func NoBarometer(elevationM float64) error {
	p := steam.StandardPressure(elevationM)
	half := (steam.BoilingPoint(p+weatherPa) - steam.BoilingPoint(p-weatherPa)) / 2
	return fmt.Errorf("no barometer answers, and without one the boiling point is known to ±%.2f K only (the weather moves the pressure by ±%d kPa): too coarse to calibrate a probe by", half, weatherPa/1000)
}
