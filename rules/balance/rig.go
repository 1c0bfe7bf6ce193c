package balance

import (
	"math"

	"bainward/rules/repeatable"
	"bainward/rules/steam"
)

// Rig is what the pan and the dish are like, in metres and kilograms. What is
// not known of the dish's contents is 0.
type Rig struct {
	PanDiameter  float64
	DishDiameter float64
	BaseHeight   float64 // of the dish above the pan floor
	WetsBaseKg   float64 // cold water that just wets the base, weighed; 0: nobody did
	OilKg        float64
	HerbKg       float64
	Fresh        bool // the herb is fresh
	Prior        Prior
}

// Prior is what earlier batches taught about a bath. The zero Prior knows
// nothing; any other holds what the ruler said, too, and stands in its place.
// The record keeps it, and the core takes it as a plain input.
type Prior struct {
	BareKg    float64 `json:"bare_kg"` // water that wets the base; 0: not known
	BareSD    float64 `json:"bare_sd"`
	SimmerW   float64 `json:"simmer_w"` // heat after the turn-down; 0: not known
	SimmerRel float64 `json:"simmer_rel"`
}

func disc(d float64) float64 { return float64(math.Pi / 4 * d * d) }

// BareKg is the water in the pan, in kg at celsius, when its surface stands at
// the base of the dish.
func (r Rig) BareKg(celsius float64) float64 {
	if r.WetsBaseKg > 0 {
		return r.WetsBaseKg * steam.Density(celsius) / steam.Density(weighedAt)
	}
	return steam.Density(celsius) * disc(r.PanDiameter) * r.BaseHeight
}

// openArea is the water surface beside the dish, m².
func (r Rig) openArea() float64 {
	return math.Max(0.1*disc(r.PanDiameter), disc(r.PanDiameter)-disc(r.DishDiameter))
}

// hotWater is the density of water near its boiling point, kg/m³.
const hotWater = 960.0

// over is the water in kg that stands mm above the base.
func (r Rig) over(mm float64) float64 { return float64(hotWater*r.openArea()) * mm / 1000 }

const (
	// sizesRel: how well the water that wets the base is known from three sizes
	// taken with a kitchen ruler. 3 mm in 250 mm count twice, 2 mm in 30 mm
	// once, and a domed pan floor or a bent trivet as much again.
	sizesRel = 0.09
	// weighedAt, weighedRel: water for the scale comes from the tap at some 15 °C,
	// and an eye sees it meet the glass to about a millimetre in thirty.
	weighedAt, weighedRel = 15.0, 0.03
	// steelPerArea: a pan holds 600 J/K at 0.05 m² (1.2 kg of steel at
	// 500 J/(kg·K)); the outer half of the dish's glass follows the water.
	steelPerArea = 15000.0
	// glassPerArea: glass of some 10 kg/m² on each side at 840 J/(kg·K).
	glassPerArea = 9000.0
)

// follows is what is as warm as the water without being water, J/K.
func (r Rig) follows() float64 {
	return float64(steelPerArea*disc(r.PanDiameter)) + float64(glassPerArea*disc(r.DishDiameter))
}

// bareOf returns the water that wets the base and its standard deviation.
func (r Rig) bareOf() (kg, sd float64) {
	kg = r.BareKg(97)
	sd = float64(sizesRel * kg)
	if r.WetsBaseKg > 0 {
		sd = float64(weighedRel * kg)
	}
	if r.Prior.BareKg > 0 && r.Prior.BareSD > 0 {
		kg, sd = r.Prior.BareKg, r.Prior.BareSD
	}
	return kg, sd
}

// simmer returns what is thought of the heat of a simmer before it is seen: ln
// of W, and its standard deviation.
func (r Rig) simmer() (ln, rel float64) {
	if r.Prior.SimmerW > 0 && r.Prior.SimmerRel > 0 {
		return repeatable.Log(r.Prior.SimmerW), r.Prior.SimmerRel
	}
	return repeatable.Log(float64(simmerPerArea * disc(r.PanDiameter))), simmerRel
}

const (
	// simmerPerArea: a simmer takes 0.5 to 0.8 kg of water an hour from a pan of
	// 0.05 m² (water about every half hour, common practice), 310 to 500 W, and
	// some 80 W for the dish: about 10 kW/m², give or take half.
	simmerPerArea, simmerRel = 10000.0, 0.33
	// coverMM: the water covers the base by some two centimetres at first; the
	// trade says "just covers" (common practice, no source).
	coverMM, coverSDMM = 22.0, 20.0
	// lawMean, lawSD: ln of a pan's evaporation over Shah's law. Carrier's, the
	// other law in use, gives 11 to 18 % less at 80 to 95 °C. Shah's mean deviation
	// is 18 % on pools; a pan's rim, a lid and draughts add to it.
	lawMean, lawSD = -0.08, 0.30
)
