package bench

import "math"

// PressureAt returns the air pressure of the standard atmosphere in Pa at a
// geopotential height in m (ISO 2533:1975, troposphere).
func PressureAt(elevation float64) float64 {
	const seaLevelPa, seaLevelK, lapse, gravity, gas = 101325, 288.15, 0.0065, 9.80665, 287.05287
	return seaLevelPa * math.Pow(1-lapse*elevation/seaLevelK, gravity/(lapse*gas))
}

// evaporation returns how much water leaves a surface at waterC °C into air
// that moves at draught m/s and holds vapour of airPa, in kg/(m² s). Carrier's
// equation as in the ASHRAE Handbook, Applications, "Natatoriums". It says
// nothing of a boil.
func evaporation(waterC, airPa, draught float64) float64 {
	pa, _ := vapourPressure(waterC)
	if pa <= airPa {
		return 0
	}
	return (0.089 + 0.0782*draught) * (pa - airPa) / latentHeat(waterC)
}
