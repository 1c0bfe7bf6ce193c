package steam

import (
	"math"

	"bainward/rules/repeatable"
)

// Constants of the standard atmosphere's lowest layer (ISO 2533:1975, the same
// as ICAO Doc 7488).
const (
	seaLevelPa   = 101325.0
	seaLevelK    = 288.15
	lapseKPerM   = 0.0065
	gravity      = 9.80665   // m/s²
	gasConstant  = 287.05287 // J/(kg·K), of dry air
	earthRadiusM = 6356766.0
	lowestM      = -2000.0 // where the tables begin
	highestM     = 11000.0 // where the next layer begins, geopotential
)

// StandardPressure returns the air pressure in Pa of the standard atmosphere at
// elevationM metres above the sea, as a map gives it (geometric, not
// geopotential). Below -2000 m and in the layer above 11 km the result is NaN.
//
// The weather moves the true pressure by some 3 kPa either way, and the boiling
// point with it by 0.8 K: a site without a barometer is no better than that.
func StandardPressure(elevationM float64) float64 {
	geopotential := earthRadiusM * (elevationM / (earthRadiusM + elevationM))
	if !(elevationM >= lowestM && geopotential <= highestM) {
		return math.NaN()
	}
	cooler := 1 - float64(lapseKPerM/seaLevelK*geopotential)
	return seaLevelPa * repeatable.Pow(cooler, gravity/(gasConstant*lapseKPerM))
}
