package cooling

import (
	"math"

	"bainward/rules/repeatable"
)

// Sample is one reading of the oil, and of the room if a probe is there.
type Sample struct {
	AtS   float64 // s, from any moment, never backwards
	OilC  float64 // °C; NaN: no reading
	RoomC float64 // °C; NaN: no reading
}

const (
	// everyS: a reading a minute is enough, and neighbouring readings share
	// their error.
	everyS = 60.0
	// noiseC: two exponentials follow the published mug to 0.17 °C (root mean
	// square), and what they miss lasts some minutes: of five or six readings one
	// counts.
	noiseC = 0.4
	// climbC: oil that becomes warmer by so much is being heated again.
	climbC = 1.5
	// usualRoomC stands in until a probe has read the room.
	usualRoomC = 20.0
)

// Predictor follows one cooling dish. The zero Predictor has seen nothing.
type Predictor struct {
	begun   bool
	start   float64 // the first gap, °C, at least 1
	first   float64 // time of the first reading
	last    float64 // time of the last reading that was taken in
	lowest  float64 // gap, °C
	gap     float64 // the last one, taken in or not
	now     float64
	room    float64
	hasRoom bool
	// What least squares need of all readings: u and v are the slow and the fast
	// exponential, y is the gap; v has its sums on its own rung.
	n, y      float64
	u, uu, uy [rungs]float64                // by rate
	uv        [slowCount][fastCount]float64 // by pair
	air       drift
}

// Add takes a reading in. Readings that failed, or that come before the last
// one, are passed over; oil that grows warmer again begins a new cooling.
func (p *Predictor) Add(s Sample) {
	if finite(s.RoomC) {
		if !p.hasRoom {
			*p = Predictor{} // what was seen so far rests on a room that nobody read
		}
		p.room, p.hasRoom = s.RoomC, true
	}
	if !finite(s.OilC) || !finite(s.AtS) || p.begun && s.AtS < p.now {
		return
	}
	gap := s.OilC - p.roomC()
	if p.begun && gap > p.lowest+climbC {
		*p = Predictor{room: p.room, hasRoom: p.hasRoom}
	}
	if !p.begun {
		p.begun, p.first, p.start, p.lowest = true, s.AtS, math.Max(1, math.Abs(gap)), gap
	} else if s.AtS-p.last < everyS {
		p.now, p.gap = s.AtS, gap
		return
	}
	p.last, p.now, p.gap = s.AtS, s.AtS, gap
	p.lowest = math.Min(p.lowest, gap)
	p.learn(s.AtS-p.first, gap)
	p.air.learn(s.AtS-p.first, s.RoomC)
}

// learn enters one gap into the sums.
func (p *Predictor) learn(t, y float64) {
	p.n++
	p.y += y
	var fallen [rungs]float64
	for i, rate := range rates() {
		u := fall(rate, t)
		fallen[i] = u
		p.u[i] += u
		p.uu[i] += float64(u * u)
		p.uy[i] += float64(u * y)
	}
	for i := range slowCount {
		for j := range fastCount {
			p.uv[i][j] += float64(fallen[i] * fallen[fastRung(i, j)])
		}
	}
}

// fall is what is left after t of what falls with rate.
func fall(rate, t float64) float64 { return repeatable.Exp(-rate * t) }

func (p *Predictor) roomC() float64 {
	if p.hasRoom {
		return p.room
	}
	return usualRoomC
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
