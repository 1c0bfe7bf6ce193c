package cooling

import "math"

// drift follows how the room becomes warmer or colder, in °C/s. Oil lags behind a
// room that drifts by as much as the room drifts while the oil falls to 1/e: it comes
// near a warming room sooner than one that stays, and a cooling one later.
type drift struct{ n, t, tt, y, ty float64 }

const (
	// driftSD is what rooms do in an hour when nobody looked, up or down; changeSD
	// by how much they change their mind later (own estimates).
	driftSD, changeSD = 1.0 / 3600, 0.5 / 3600
	// airC is the doubt about one reading: a probe hangs in a draught.
	airC = 0.3
)

func (d *drift) learn(t, room float64) {
	if !finite(room) {
		return
	}
	d.n++
	d.t += t
	d.tt += float64(t * t)
	d.y += room
	d.ty += float64(t * room)
}

// foretold returns the drift that is to be reckoned with, and its doubt.
func (d *drift) foretold() (mean, doubt float64) {
	weight, pull := 1/(driftSD*driftSD), 0.0
	if d.n > 1 {
		weight += (d.tt - d.t*d.t/d.n) / (airC * airC)
		pull = (d.ty - d.t*d.y/d.n) / (airC * airC)
	}
	return pull / weight, math.Sqrt(1/weight + changeSD*changeSD)
}
