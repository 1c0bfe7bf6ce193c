package calibrate

import (
	"fmt"
	"math"
	"time"

	"bainward/sensors"
)

// Needed is how many readings a mean is taken over. At one a second they span a
// minute: some six time constants of a bare probe in stirred water (7 to 18 s, the
// Hamburg loggers of 2023, raw logs).
const Needed = 60

const (
	// certain is how many standard errors away from level a slope must be to be one:
	// chance alone gets there once in 370 windows (normal distribution).
	certain = 3.0
	// stillDrift is a drift over the whole window that is too small to matter
	// however certain it is: one step of the chip, K.
	stillDrift = Step
	// maxSpread is the standard deviation from which readings wander, K: a rolling
	// boil moves a probe by two steps or so (own choice, no source).
	maxSpread = 2.5 * Step
)

// sample is one reading: when it was taken, and °C.
type sample struct {
	at time.Duration
	c  float64
}

// Window holds the last readings of one probe, as they came. The zero value holds
// none.
type Window struct {
	ring  [Needed]sample
	n     int // readings held
	next  int // where the next one goes
	fault sensors.Fault
}

// Add takes the next reading of the probe at an offset. A fault breaks the row:
// nobody knows where the probe was meanwhile.
func (w *Window) Add(at time.Duration, r sensors.Reading) {
	if !r.OK() {
		*w = Window{fault: r.Fault}
		return
	}
	w.fault = sensors.NoFault
	w.ring[w.next] = sample{at, r.Temperature.Celsius()}
	w.next = (w.next + 1) % Needed
	w.n = min(w.n+1, Needed)
}

// Stand is how the readings in a window stand.
type Stand struct {
	N      int
	Mean   float64 // °C
	Spread float64 // standard deviation, K
	Slope  float64 // K a minute
	// Why says why the mean cannot be taken yet; empty: the readings are steady.
	Why string
}

// Steady reports whether the mean can be taken.
func (s Stand) Steady() bool { return s.Why == "" }

// Uncertainty returns the standard uncertainty with which the mean says what the
// probe reads, K: type A, s/√n (JCGM 100:2008, 4.2.3), and the resolution, which
// averaging does not lessen while the readings hardly move.
func (s Stand) Uncertainty() float64 {
	return Combined(s.Spread/math.Sqrt(float64(max(1, s.N))), Resolution(Step))
}

// Stand judges the readings. The zero Window is not steady.
func (w *Window) Stand() Stand {
	s := Stand{N: w.n}
	if w.n == 0 {
		s.Why = "no reading yet"
		if w.fault != sensors.NoFault {
			s.Why = fmt.Sprintf("the probe does not answer as it should: %s", w.fault)
		}
		return s
	}
	perSecond, doubt, span := w.line(&s)
	s.Slope = perSecond * time.Minute.Seconds()
	drift := math.Abs(perSecond * span)
	switch {
	case w.n < Needed:
		s.Why = fmt.Sprintf("%d of %d readings so far", w.n, Needed)
	case drift > stillDrift && math.Abs(perSecond) > certain*doubt:
		word := "rises"
		if perSecond < 0 {
			word = "falls"
		}
		s.Why = fmt.Sprintf("the reading still %s, by %.2f K a minute: wait", word, math.Abs(s.Slope))
	case s.Spread > maxSpread:
		s.Why = fmt.Sprintf("the reading wanders, by %.2f K up and down: stir, and keep the probe off the sides and the bottom", s.Spread)
	}
	return s
}

// line puts a straight line through the readings by least squares, fills in mean and
// spread, and returns the slope in K/s, its standard error and the span in s. The
// residuals of a reading in steps may all be nothing, and the line is not that well
// known: a rectangle of one step is added to them.
func (w *Window) line(s *Stand) (slope, doubt, span float64) {
	n := float64(w.n)
	first, last := w.ring[0].at, w.ring[0].at
	sumT, sumC := 0.0, 0.0
	base := w.ring[0]
	for _, x := range w.ring[:w.n] {
		first, last = min(first, x.at), max(last, x.at)
		sumT += (x.at - base.at).Seconds()
		sumC += x.c - base.c
	}
	meanT, meanC := sumT/n, sumC/n
	tt, tc, cc := 0.0, 0.0, 0.0
	for _, x := range w.ring[:w.n] {
		dt, dc := (x.at-base.at).Seconds()-meanT, x.c-base.c-meanC
		tt += float64(dt * dt)
		tc += float64(dt * dc)
		cc += float64(dc * dc)
	}
	s.Mean = base.c + meanC
	s.Spread = math.Sqrt(cc / max(1, n-1))
	if tt == 0 {
		return 0, math.Inf(1), 0
	}
	slope = tc / tt
	left := max(0, cc-float64(slope*tc)) / max(1, n-2)
	step := Resolution(Step)
	doubt = math.Sqrt((left + float64(step*step)) / tt)
	return slope, doubt, (last - first).Seconds()
}
