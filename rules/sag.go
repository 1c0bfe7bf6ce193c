package rules

import (
	"math"
	"time"
)

// followKPerH is how fast the oil can follow a bath that comes down: 1.5 K of the 2 K
// that still are a steady bath, in ten minutes (0.8 kg of oil and a glass dish,
// 2.3 kJ/K, over 3 to 6 W/K: 400 to 800 s). A bath probe that hangs comes out of
// the water just as the base goes bare, and reads 1 to 4 K less at once; the oil
// has not followed that.
const followKPerH = 9.0

// followBath lets the oil follow what the bath itself came down by, K.
func (m *bareMemory) followBath(fell float64, since time.Duration) {
	m.follow = math.Min(math.Max(0, fell), m.follow+float64(followKPerH/3600*since.Seconds()))
}

// sagPace is how a sag goes on. A draught takes the oil down fastest at its
// start, and less and less; a base that goes bare in waves takes it down faster
// for minutes.
type sagPace struct {
	going    bool
	since    time.Duration
	steepest float64 // slope of the oil, K/s
}

const (
	sagBeginsKPerH = 6.0 // twice what uncovering makes
	sagEndsKPerH   = 3.0
	// gatherFor: a draught's sag is past its steepest by then; the oil's probe and
	// the means of two minutes lag by as much.
	gatherFor   = 240 * time.Second
	nearlySteep = 0.9 // of the steepest
)

// follow takes in the oil's slope of the last two minutes, K/s.
func (p *sagPace) follow(slope float64, now time.Duration) {
	switch perHour := slope * 3600; {
	case perHour > -sagEndsKPerH:
		*p = sagPace{}
	case !p.going && perHour < -sagBeginsKPerH:
		*p = sagPace{going: true, since: now}
	}
	p.steepest = math.Min(p.steepest, slope)
}

// gathers reports whether the sag is still about as steep as ever after a while.
func (p *sagPace) gathers(slope float64, now time.Duration) bool {
	return p.going && now-p.since >= gatherFor && slope <= nearlySteep*p.steepest
}
