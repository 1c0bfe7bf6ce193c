package shelf

import (
	"math"

	"bainward/rules/repeatable"
)

const (
	// activationK is ΔH/R of USP <1160>, 83.144 kJ/mol over 8.3144 J/(mol·K):
	// 10 000 K.
	activationK = 10000.0
	zeroC       = 273.15
)

// MeanKinetic returns the mean kinetic temperature in °C of equally spaced
// temperatures of a store, after USP <1160>, now <1079.2>: the one temperature
// at which as much would have happened. USP asks for at least twelve means over
// a year. Leave failed readings out: a NaN gives NaN, and so does nothing.
//
// It is for the store of finished oil. It says nothing of a maceration, and
// does not hold for anything frozen.
func MeanKinetic(celsius []float64) float64 {
	hours := make([]float64, len(celsius))
	for i := range hours {
		hours[i] = 1
	}
	return MeanKineticOver(celsius, hours)
}

// MeanKineticOver is MeanKinetic of temperatures that lasted unequally long:
// each counts by its hours (Tong and Lock, JSM 2015, Biopharmaceutical section,
// 2065-2070). The two lists have the same length, or the result is NaN.
func MeanKineticOver(celsius, hours []float64) float64 {
	if len(celsius) == 0 || len(celsius) != len(hours) {
		return math.NaN()
	}
	// The sum is kept relative to the warmest, so that none of it vanishes.
	warmest := celsius[0]
	for _, c := range celsius {
		warmest = math.Max(warmest, c)
	}
	top := activationK / (warmest + zeroC)
	sum, all := 0.0, 0.0
	for i, c := range celsius {
		if !(hours[i] >= 0 && c > -zeroC) {
			return math.NaN()
		}
		sum += float64(hours[i] * repeatable.Exp(top-activationK/(c+zeroC)))
		all += hours[i]
	}
	return activationK/(top-repeatable.Log(sum/all)) - zeroC
}
