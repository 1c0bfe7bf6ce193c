package shelf

import (
	"math"

	"bainward/rules/repeatable"
)

// WarmestC is up to which mean kinetic temperature, °C, a place is what its name
// says: a refrigerator 2 to 8 °C, a cool place 8 to 15 °C, a room not over 25 °C
// (USP <659>, from memory).
func (s Storage) WarmestC() float64 {
	switch s {
	case Room:
		return 25
	case Fridge:
		return 8
	}
	return 15
}

// Sooner returns by how much sooner than others a bottle is to be smelled at that
// stood in a place at a mean kinetic temperature of celsius for a time, in the unit
// of that time. Oil that stands warmer ages as if it had stood for longer where its
// place is as it should be (oxidationQ10). It is never less than nothing.
func (s Storage) Sooner(celsius, lasted float64) float64 {
	if !(celsius > s.Celsius() && lasted > 0) {
		return 0
	}
	return float64(lasted * (repeatable.Pow(oxidationQ10, math.Min(celsius-s.Celsius(), 100)/10) - 1))
}
