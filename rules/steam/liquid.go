package steam

import (
	"math"

	"bainward/rules/repeatable"
)

// The properties of water on the saturation line are polynomials of
// (t - 65 °C)/65 K, fitted to IAPWS-IF97 regions 1 and 2 over 0 … 130 °C by
// testdata/fit.py. The full formulation has 34 and 52 terms with powers up to 55;
// the fit is off by less than the last figure of the published tables.
const (
	middleC = 65.0
	halfC   = 65.0
)

// LatentHeat returns the heat in J/kg that turns water of celsius into vapour of
// the same temperature, within 0.4 J/kg of IF97. Outside 0 … 130 °C it is
// that of the nearer end.
func LatentHeat(celsius float64) float64 { return liquid(celsius, latentHeatTerms[:]) }

// Density returns the density in kg/m³ of water of celsius, within 0.0004 kg/m³
// of IF97. Outside 0 … 130 °C it is that of the nearer end.
func Density(celsius float64) float64 { return liquid(celsius, densityTerms[:]) }

// HeatCapacity returns the heat capacity in J/(kg·K) of water of celsius at
// constant pressure, within 0.04 J/(kg·K) of IF97. Outside 0 … 130 °C it is
// that of the nearer end.
func HeatCapacity(celsius float64) float64 { return liquid(celsius, heatCapacityTerms[:]) }

func liquid(celsius float64, terms []float64) float64 {
	x := (celsius - middleC) / halfC
	return repeatable.Polynomial(math.Max(-1, math.Min(1, x)), terms)
}

var latentHeatTerms = [...]float64{
	2345431.6035299753, -159942.32039026503, -7706.062093720458, -3600.6776148714303,
	-491.0511971957995, 86.83799535920926, -48.45405903981563, -160.63583384669104,
	130.99181073234095,
}

var densityTerms = [...]float64{
	980.5323913367115, -35.28932273471153, -11.935831498999354, 2.3009356667934724,
	-1.0241435556935028, 0.2802395844850015, -0.1299600071913921, 0.22715041416853746,
	-0.13001724550267602,
}

var heatCapacityTerms = [...]float64{
	4185.342552395993, 34.712925872645464, 43.87098570818884, -4.544692508154537,
	4.762481262004412, 8.527815552338074, -2.9930276100139697, -16.20932116615301,
	11.398796267321693,
}
