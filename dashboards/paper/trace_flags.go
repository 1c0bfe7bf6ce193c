package paper

import (
	"fmt"
	"math"
	"slices"
)

// Sizes of flags, mm.
const (
	flagHigh    = 2.8
	flagStep    = 3.2 // from one story to the next
	flagApart   = 0.3 // beside each other
	flagStories = 6   // more would leave no room for the lines
	flagShift   = 1.5 // how far one may stand from its mark before another story is opened
)

// flag is the number of a mark above the lines of a trace.
type flag struct {
	mark   Mark
	number textLine
	at     float64 // where its mark is, mm
	left   float64
	story  int // 0 is the lowest
}

func (f flag) wide() float64 { return f.number.width + 1.4 }

// flags finds places for the numbers of all marks, in as few stories as keep them
// near their marks. Where there is no room for all of them, only alarms have
// flags, and where there is none for those, nothing has; the list below the trace
// has them all.
func (f *flow) flags(a axes) (flags []flag, stories int) {
	for i, m := range a.t.inside() {
		flags = append(flags, flag{mark: m, number: f.whole(fmt.Sprint(i+1), tickStyle), at: a.x(m.At)})
	}
	if stories = settle(flags, a.left, a.right); stories > 0 || len(flags) == 0 {
		return flags, stories
	}
	var alarms []flag
	for _, one := range flags {
		if one.mark.Alarm {
			alarms = append(alarms, one)
		}
	}
	if stories = settle(alarms, a.left, a.right); stories > 0 {
		return alarms, stories
	}
	return nil, 0
}

// settle places flags in as few stories as it can and returns how many those are,
// 0 if there is no room.
func settle(flags []flag, left, right float64) int {
	for stories := 1; stories <= flagStories && len(flags) > 0; stories++ {
		if shift, fits := spread(flags, stories, left, right); fits && (shift <= flagShift || stories == flagStories) {
			return stories
		}
	}
	return 0
}

// spread puts each flag into the lowest story that is free above its mark, and
// moves those apart that find none, and those at the right end to the left. It
// returns how far the farthest was moved.
func spread(flags []flag, stories int, left, right float64) (shift float64, fits bool) {
	ends := slices.Repeat([]float64{left}, stories)
	for i := range flags {
		one := &flags[i]
		one.story = slices.Index(ends, slices.Min(ends))
		for story, end := range ends {
			if end <= one.at {
				one.story = story
				break
			}
		}
		one.left = max(one.at, ends[one.story])
		ends[one.story] = one.left + one.wide() + flagApart
	}
	for story := range ends {
		ends[story] = right
	}
	for i := len(flags) - 1; i >= 0; i-- {
		one := &flags[i]
		one.left = min(one.left, ends[one.story]-one.wide())
		ends[one.story] = one.left - flagApart
		shift = max(shift, math.Abs(one.left-min(one.at, right-one.wide())))
		if one.left < left {
			return shift, false
		}
	}
	return shift, true
}

// drawFlags draws a thread at every mark and the flags: full for an alarm, open
// for what a person did.
func (f *flow) drawFlags(a axes, flags []flag) {
	for _, m := range a.t.inside() { // all threads before the first flag, so that none crosses a number
		width, colour := 0.12, uint32(muted)
		if m.Alarm {
			width, colour = 0.25, alarm
		}
		f.rule(a.x(m.At), a.top, a.x(m.At), a.bottom, width, colour)
	}
	for _, one := range flags {
		colour := uint32(muted)
		if one.mark.Alarm {
			colour = alarm
		}
		f.rule(one.at, a.top, min(max(one.at, one.left), one.left+one.wide()), one.top(a)+flagHigh, 0.12, colour)
	}
	for _, one := range flags {
		y, look := one.top(a), tickStyle
		if one.mark.Alarm {
			f.box(one.left, y, one.wide(), flagHigh, alarm)
			look.colour = white
		} else {
			f.box(one.left, y, one.wide(), flagHigh, white)
			f.frame(one.left, y, one.wide(), flagHigh, 0.15, muted)
		}
		f.line(one.number, one.left+0.7, y+0.1, look)
	}
}

func (f flag) top(a axes) float64 { return a.top - flagStep*float64(f.story+1) }
