package app

import (
	"maps"
	"math"
	"time"

	"bainward/daemon/record"
	keeping "bainward/rules/batch/shelf"
)

const (
	// placeEvery is how often the probe of a place is read: what stands on a shelf
	// takes hours to warm (common practice, no source).
	placeEvery = time.Minute
	// placeStands is how long a reading counts when no other follows.
	placeStands = 2 * placeEvery
	// placeSpan is after how long a span is recorded.
	placeSpan = time.Hour
)

// stretch is what was measured of a place since its last entry. It is a value: what a
// draft makes of it counts only once the draft is recorded.
type stretch struct {
	from, upTo time.Duration // offsets: when it began, and how far it is reckoned
	// holds: the last reading, held °C, counts from upTo until another, at most
	// heldTo. counted: count has it already.
	holds, counted bool
	held           float64
	heldTo         time.Duration

	count    int
	measured time.Duration
	kinetic  keeping.Kinetic
	min, max float64
	faults   map[string]int // never changed: replaced
}

// newStretch begins at an offset.
func newStretch(at time.Duration) stretch {
	return stretch{from: at, upTo: at, min: math.Inf(1), max: math.Inf(-1)}
}

// reckon lets the last reading count up to an offset.
func (s *stretch) reckon(at time.Duration) {
	if lasted := min(at, s.heldTo) - s.upTo; s.holds && lasted > 0 {
		s.measured += lasted
		s.kinetic = s.kinetic.With(s.held, lasted.Hours())
		s.min, s.max = min(s.min, s.held), max(s.max, s.held)
		if !s.counted {
			s.count, s.counted = s.count+1, true
		}
	}
	s.upTo = max(s.upTo, at)
}

// read takes a corrected temperature.
func (s *stretch) read(at time.Duration, celsius float64) {
	s.reckon(at)
	s.holds, s.counted, s.held, s.heldTo = true, false, celsius, at+placeStands
}

// fault takes note that there is none, and why.
func (s *stretch) fault(at time.Duration, why string) {
	s.reckon(at)
	s.holds = false
	s.faults = maps.Clone(s.faults)
	if s.faults == nil {
		s.faults = map[string]int{}
	}
	s.faults[why]++
}

// cut ends the stretch at an offset: body is what it was, next goes on from there with
// the last reading. ok is false if it has no length.
func (s stretch) cut(at time.Duration) (body record.Storage, next stretch, ok bool) {
	s.reckon(at)
	if at <= s.from {
		return body, s, false
	}
	body = record.Storage{
		From: s.from.Milliseconds(), To: at.Milliseconds(),
		Count: s.count, Measured: s.measured.Milliseconds(), Faults: s.faults,
	}
	if s.count > 0 {
		low, high := millionth(s.min), millionth(s.max)
		mean := min(max(millionth(s.kinetic.Celsius()), low), high)
		body.Min, body.Max, body.Kinetic = &low, &high, &mean
	}
	next = newStretch(at)
	next.holds, next.held, next.heldTo = s.holds, s.held, s.heldTo
	return body, next, true
}

// millionth keeps of a temperature far more than any probe can tell.
func millionth(c float64) float64 { return math.Round(c*1e6) / 1e6 }

// away stands for the fault of a probe that is being calibrated.
const away = "away"
