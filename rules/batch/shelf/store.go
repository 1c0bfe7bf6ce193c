package shelf

import (
	"math"

	"bainward/rules/repeatable"
)

// Storage is where the bottles stand.
type Storage uint8

// The places. Each stands for the warmest that it is meant to be.
const (
	Cool   Storage = iota // a dark, cool room or cellar: up to 15 °C
	Room                  // a shelf, dark: up to 25 °C
	Fridge                // up to 5 °C
	storageCount
)

var storageWords = [storageCount]string{"cool and dark", "at room temperature, dark", "in the refrigerator"}

func (s Storage) String() string {
	if s < storageCount {
		return storageWords[s]
	}
	return "somewhere"
}

// Celsius is the temperature that the place stands for.
func (s Storage) Celsius() float64 {
	switch s {
	case Room:
		return 25
	case Fridge:
		return 5
	}
	return keptC
}

const (
	// keptMonths: macerated oil keeps for about two years, cold and dark (common
	// practice, no source). Nothing is known that would let it keep longer.
	keptMonths, keptC = 24, 15.0
	// oxidationQ10: oils oxidise about twice as fast at 10 °C more (from memory,
	// 75 % sure). On a shelf at 25 °C that makes 12 months; published advice is 6
	// to 12.
	oxidationQ10 = 2.0
)

// Months returns for how many whole months oil keeps that is stored at celsius,
// for instance at a mean kinetic temperature; NaN is taken as a warm shelf.
func Months(celsius float64) int {
	if math.IsNaN(celsius) {
		celsius = Room.Celsius()
	}
	over := math.Max(0, celsius-keptC) / 10
	// A whisker is added so that 24 halved is 12 on every machine and by hand.
	return int(math.Floor(float64(keptMonths*repeatable.Pow(oxidationQ10, -over)) + 1e-9))
}
