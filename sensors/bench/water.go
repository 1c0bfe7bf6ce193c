package bench

import "math"

// The saturation line of water after A. Saul and W. Wagner, as revised for
// ITS-90: IAPWS SR1-86(1992), equations 1 to 3. Not IF97, on purpose.
const (
	criticalK       = 647.096 // K
	criticalPa      = 22.064e6
	criticalDensity = 322.0 // kg/m³
	zeroC           = 273.15
)

// vapourPressure returns the saturation pressure over water at c °C and its
// slope, in Pa and Pa/K. Between 0 and 350 °C.
func vapourPressure(c float64) (pa, slope float64) {
	kelvin := c + zeroC
	x := 1 - kelvin/criticalK
	root := math.Sqrt(x)
	x3 := x * x * x
	sum := x*(-7.85951783+1.84408259*root) +
		x3*(-11.7866497+22.6807411*root-15.9618719*x+1.80122502*x3*x*root)
	sumSlope := -7.85951783 + 1.5*1.84408259*root +
		x*x*(3*-11.7866497+3.5*22.6807411*root-4*15.9618719*x+7.5*1.80122502*x3*x*root)
	ln := criticalK / kelvin * sum
	pa = criticalPa * math.Exp(ln)
	return pa, -pa / kelvin * (ln + sumSlope)
}

// boilingPoint returns the temperature in °C at which water boils under pa
// pascal, found from guess by Newton's rule on the logarithm of the pressure.
func boilingPoint(pa, guess float64) float64 {
	for range 20 {
		p, slope := vapourPressure(guess)
		move := math.Log(pa/p) * p / slope
		guess += move
		if math.Abs(move) < 1e-9 {
			break
		}
	}
	return guess
}

// liquidDensity returns the density of the liquid at saturation in kg/m³.
func liquidDensity(c float64) float64 {
	y := math.Cbrt(1 - (c+zeroC)/criticalK)
	y2 := y * y
	y5 := y2 * y2 * y
	y16 := y5 * y5 * y5 * y
	y43 := y16 * y16 * y5 * y5 * y
	y110 := y43 * y43 * y16 * y5 * y2 * y
	return criticalDensity * (1 + 1.99274064*y + 1.09965342*y2 - 0.510839303*y5 -
		1.75493479*y16 - 45.5170352*y43 - 6.74694450e5*y110)
}

// vapourDensity returns the density of saturated vapour in kg/m³.
func vapourDensity(c float64) float64 {
	y := math.Sqrt(math.Cbrt(1 - (c+zeroC)/criticalK))
	y2 := y * y
	y4 := y2 * y2
	y8 := y4 * y4
	y18 := y8 * y8 * y2
	y37 := y18 * y18 * y
	y71 := y37 * y18 * y8 * y8
	return criticalDensity * math.Exp(-2.03150240*y2-2.68302940*y4-5.38626492*y8-
		17.2991605*y18-44.7586581*y37-63.9201063*y71)
}

// latentHeat returns the heat that evaporates a kilogram at c °C, in J/kg, by
// Clapeyron's equation from the three laws above.
func latentHeat(c float64) float64 {
	_, slope := vapourPressure(c)
	return (c + zeroC) * (1/vapourDensity(c) - 1/liquidDensity(c)) * slope
}

// liquidHeat returns the specific heat of liquid water at c °C in J/(kg K):
// N. S. Osborne, H. F. Stimson and D. C. Ginnings, J. Res. NBS 23 (1939) 197
// (equation from memory; the test holds its integral against the steam table).
func liquidHeat(c float64) float64 {
	return 4185.5 * (0.996185 + 0.0002874*math.Pow((c+100)/100, 5.26) + 0.011160*math.Exp(-0.036*math.Ln10*c))
}

// liquidEnthalpy is the integral of liquidHeat, in J/kg; only differences of
// it mean anything.
func liquidEnthalpy(c float64) float64 {
	const decay = 0.036 * math.Ln10
	return 4185.5 * (0.996185*c + 0.0002874*100/6.26*math.Pow((c+100)/100, 6.26) - 0.011160/decay*math.Exp(-decay*c))
}
