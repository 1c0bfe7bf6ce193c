package cooling

import (
	"math"

	"bainward/rules/repeatable"
)

// Newton is cooling by Newton's law: the gap to the room falls by the same share
// in equal times. Temperatures may be in any degree, as long as it is the same.
type Newton struct {
	Start, Room float64
	Rate        float64 // share of the gap a unit of time, 1/time
}

// Through returns the law that leads from start to later within after.
func Through(start, room, later, after float64) Newton {
	return Newton{start, room, repeatable.Log((start-room)/(later-room)) / after}
}

// At returns the temperature after t.
func (n Newton) At(t float64) float64 {
	return n.Room + float64((n.Start-n.Room)*repeatable.Exp(-n.Rate*t))
}

// Until returns the time at which the temperature is reached; NaN if it never
// is.
func (n Newton) Until(temperature float64) float64 {
	left := (temperature - n.Room) / (n.Start - n.Room)
	if !(left > 0 && left <= 1 && n.Rate > 0) {
		return math.NaN()
	}
	return -repeatable.Log(left) / n.Rate
}
