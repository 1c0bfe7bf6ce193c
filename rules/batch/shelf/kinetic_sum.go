package shelf

import (
	"math"

	"bainward/rules/repeatable"
)

// referenceK is the temperature at which an hour counts for one in a Kinetic. It
// cancels out, and keeps what is summed near one, so that the sums of years can be
// taken from each other.
const referenceK = 298.15

// Kinetic adds up temperatures for their mean kinetic temperature. Two spans of a
// store put together are exactly the one that holds both, which means of means are
// not. The zero Kinetic is nothing.
type Kinetic struct {
	sum    float64 // of weight times exp(-ΔH/RT), over that of referenceK
	weight float64
}

// With adds a temperature in °C, or the mean kinetic temperature of a span, that
// lasted for a weight, such as its hours. What is no temperature, or lasted for
// nothing, adds nothing.
func (k Kinetic) With(celsius, weight float64) Kinetic {
	if !(weight > 0 && celsius > -zeroC) || math.IsInf(celsius, 0) || math.IsInf(weight, 0) {
		return k
	}
	counts := repeatable.Exp(activationK/referenceK - activationK/(celsius+zeroC))
	return Kinetic{k.sum + float64(weight*counts), k.weight + weight}
}

// And returns both spans together.
func (k Kinetic) And(o Kinetic) Kinetic { return Kinetic{k.sum + o.sum, k.weight + o.weight} }

// Less returns k without o, which is a part of it.
func (k Kinetic) Less(o Kinetic) Kinetic { return Kinetic{k.sum - o.sum, k.weight - o.weight} }

// Part returns a span that was like k and lasted for a part of it, 0 to 1.
func (k Kinetic) Part(part float64) Kinetic {
	return Kinetic{float64(k.sum * part), float64(k.weight * part)}
}

// Weight is for how long it was measured.
func (k Kinetic) Weight() float64 { return k.weight }

// Celsius returns the mean kinetic temperature in °C; of nothing it is NaN.
func (k Kinetic) Celsius() float64 {
	if !(k.sum > 0 && k.weight > 0) {
		return math.NaN()
	}
	return activationK/(activationK/referenceK-repeatable.Log(k.sum/k.weight)) - zeroC
}
