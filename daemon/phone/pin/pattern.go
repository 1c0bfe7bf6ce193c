package pin

import (
	"time"

	"bainward/rules/alarm"
)

// pattern is a number of strokes and then a pause, over and over.
//
// That urgency is carried by bursts with pauses between them, faster and denser
// for what is graver, is the idea of IEC 60601-1-8 for medical alarms (from
// memory); the patterns themselves are our own and claim no conformity. They also
// keep to these:
//
//   - The count tells the priority, 6, 3, 2 or 1: it can be told from the next
//     room, with a buzzer whose pitch and loudness cannot be chosen.
//   - A stroke lasts 100 ms or more. A relay needs some 10 ms to close and a buzzer
//     some 50 ms to speak (common practice, no source).
//   - A lamp never flashes more than three times in any one second, at which a
//     flash may begin to hurt those who are photosensitive (WCAG 2.2, success
//     criterion 2.3.1). So strokes begin 334 ms apart or more.
type pattern struct {
	strokes int
	on, off time.Duration // of one stroke
	pause   time.Duration // after the last stroke, in place of off
}

// patterns by priority, in milliseconds:
//
//	           strokes    on   off   pause   round   on-share
//	critical      6      140   200     700    2540      33 %
//	high          3      160   260    1800    2800      17 %
//	medium        2      200   360    7240    8000       5 %
//	low           1      120     -   59880   60000       0.2 %
var patterns = [...]pattern{
	// Does not let anybody finish what they were doing: seconds count. As fast as a
	// lamp may flash, and never silent for a whole second.
	alarm.Critical: {6, 140 * time.Millisecond, 200 * time.Millisecond, 700 * time.Millisecond},
	// A call to come within minutes. The pause is long enough to talk in, and so
	// short that nobody takes it for the end.
	alarm.High: {3, 160 * time.Millisecond, 260 * time.Millisecond, 1800 * time.Millisecond},
	// A reminder: slow, soft in its rhythm, and bearable for the eight minutes that
	// a top-up may wait.
	alarm.Medium: {2, 200 * time.Millisecond, 360 * time.Millisecond, 7240 * time.Millisecond},
	// One short sign a minute, for somebody who listens for it.
	alarm.Low: {1, 120 * time.Millisecond, 0, 59880 * time.Millisecond},
}

// patternOf returns the pattern of a priority.
func patternOf(p alarm.Priority) pattern { return patterns[p&3] }

// sounding is how long the strokes of one round take, without the pause.
func (p pattern) sounding() time.Duration {
	return time.Duration(p.strokes)*p.on + time.Duration(p.strokes-1)*p.off
}

// round is how long one round takes, with its pause.
func (p pattern) round() time.Duration { return p.sounding() + p.pause }

// at says whether the pin is on so long after the pattern began, and how long
// it stays that way.
func (p pattern) at(since time.Duration) (on bool, lasts time.Duration) {
	in := since % p.round()
	if in >= p.sounding() {
		return false, p.round() - in
	}
	stroke := in % (p.on + p.off)
	switch {
	case stroke < p.on:
		return true, p.on - stroke
	default:
		return false, p.on + p.off - stroke
	}
}
