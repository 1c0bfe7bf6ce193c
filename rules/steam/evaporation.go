package steam

import (
	"math"

	"bainward/rules/repeatable"
)

// StillAirDeviation is the mean deviation of measured evaporation from
// StillAirEvaporation, either way: 18.2 % over 11 sets of data, water 7…94 °C,
// air 6…35 °C, humidity 28…95 %, pools of 0.07…425 m² (M. M. Shah, HVAC&R
// Research 8(1), 2002, 125-131, abstract). A pan is smaller than the smallest
// of them and has a rim, so a single pan may be off by more; other published
// formulae differ among themselves by up to a factor of four.
const StillAirDeviation = 0.182

// StillAirEvaporation returns how fast an open surface of water of waterC loses
// water to still air of airC, in kg/(m²·s). The relative humidity is a share
// from 0 to 1 (beyond, the nearer end counts), the pressure is in pascal.
//
// Water is taken as at least 0 °C and at most at its boiling point, above
// which the heat decides and not the air. Air is taken as -40 … 60 °C. Where
// the damp air over the water is not lighter than the air around it, or holds
// less vapour, nothing rises and the result is 0. A pressure outside the range
// of BoilingPoint gives NaN.
//
// Source: M. M. Shah, "Methods for calculation of evaporation from swimming
// pools and other water surfaces", ASHRAE Transactions 120(2), 2014,
// SE-14-001, undisturbed water with natural convection: C·ρw·(ρr-ρw)^(1/3)·(Ww-Wr),
// C = 35 where ρr-ρw > 0.02 kg/m³, else 40, in kg/(m²·h).
func StillAirEvaporation(waterC, airC, humidity, pascal float64) float64 {
	boiling := BoilingPoint(pascal)
	if math.IsNaN(boiling) {
		return math.NaN()
	}
	waterC = math.Max(0, math.Min(boiling, waterC))
	airC = math.Max(supercooled, math.Min(hottestAirC, airC))
	humidity = math.Max(0, math.Min(1, humidity))

	over := dampAir(waterC, VapourPressure(waterC), pascal)
	around := dampAir(airC, float64(humidity*VapourPressure(airC)), pascal)
	lift := around.density() - over.density()
	// ρw·(Ww-Wr) with ρw the dry air in a cubic metre: written so, it stays
	// finite at the boiling point, where no dry air is left over the water.
	gain := over.vapour - float64(over.dry*(around.vapour/around.dry))
	if lift <= 0 || gain <= 0 {
		return 0
	}
	c := 35.0
	if lift <= 0.02 {
		c = 40
	}
	const hour = 3600
	return c / hour * repeatable.Cbrt(lift) * gain
}

// hottestAirC keeps the vapour of damp air well below any air pressure.
const hottestAirC = 60.0

// vapourGasConstant is that of water vapour, J/(kg·K) (IAPWS R7-97 has 461.526).
const vapourGasConstant = 461.524

// damp is what a cubic metre of damp air holds, in kg/m³.
type damp struct{ dry, vapour float64 }

func (d damp) density() float64 { return d.dry + d.vapour }

// dampAir returns air of celsius in which vapour presses with vapourPa of pascal.
func dampAir(celsius, vapourPa, pascal float64) damp {
	t := celsius + kelvin
	vapourPa = math.Min(vapourPa, pascal) // at the boil they differ by rounding
	return damp{
		dry:    (pascal - vapourPa) / (gasConstant * t),
		vapour: vapourPa / (vapourGasConstant * t),
	}
}
