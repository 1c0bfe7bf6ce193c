package rules

import (
	"math"
	"time"
)

// trail remembers a temperature over time as means of equal spans, so that a
// trace sampled each second and one sampled each ten seconds look alike.
// The zero trail is empty.
type trail struct {
	at   [trailLen]time.Duration // middle of each span
	c    [trailLen]float64       // mean over it, °C
	n    int                     // spans ever written
	open struct {
		begin    time.Duration
		sum      float64
		sumAt    time.Duration
		readings int
	}
}

// trailLen spans reach back two minutes in the short trail and ten in the long
// one; the longest windows of the rules are two and five minutes. The trails are
// three quarters of a State, which Step copies.
const trailLen = 64

// add takes one trusted reading into the trail, whose spans are span long.
func (t *trail) add(at time.Duration, c float64, span time.Duration) {
	if t.open.readings > 0 && at-t.open.begin >= span {
		t.close()
	}
	if t.open.readings == 0 {
		t.open.begin = at
	}
	t.open.sum += c
	t.open.sumAt += at - t.open.begin
	t.open.readings++
}

func (t *trail) close() {
	i := t.n % trailLen
	t.at[i] = t.open.begin + t.open.sumAt/time.Duration(t.open.readings)
	t.c[i] = t.open.sum / float64(t.open.readings)
	t.n++
	t.open.readings, t.open.sum, t.open.sumAt = 0, 0, 0
}

// line is what a stretch of a trail looks like.
type line struct {
	n         int     // spans in it
	mean      float64 // °C
	slope     float64 // K/s, least squares
	low, high float64 // °C
	covers    time.Duration
}

// between fits a line through the spans whose middles lie in [from, to]. Half of
// judging is spent here, so that what it gathers stays in registers.
func (t *trail) between(from, to time.Duration) line {
	low, high := math.Inf(1), math.Inf(-1)
	var sx, sy, sxx, sxy float64
	var first, last time.Duration
	found := 0
	for k := t.n - 1; k >= 0 && k >= t.n-trailLen; k-- {
		i := uint(k) % trailLen
		at := t.at[i]
		if at < from {
			break
		}
		if at > to {
			continue
		}
		if found == 0 {
			last = at
		}
		first = at
		x, y := float64(at-from)/float64(time.Second), t.c[i]
		sx += x
		sy += y
		sxx += float64(x * x)
		sxy += float64(x * y)
		if y < low {
			low = y
		}
		if y > high {
			high = y
		}
		found++
	}
	if found == 0 {
		return line{}
	}
	n := float64(found)
	l := line{n: found, mean: sy / n, low: low, high: high, covers: last - first}
	if d := float64(n*sxx) - float64(sx*sx); found > 1 && d > 0 {
		l.slope = (float64(n*sxy) - float64(sx*sy)) / d
	}
	return l
}

// whole reports whether the line rests on readings over most of a window.
func (l line) whole(window time.Duration) bool { return l.n >= 3 && l.covers >= window*3/5 }

// spread is the height of the stretch in K.
func (l line) spread() float64 { return l.high - l.low }
