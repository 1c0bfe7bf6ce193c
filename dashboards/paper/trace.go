package paper

import (
	"math"
	"time"

	"bainward/rules"
)

// Trace is the temperatures of a batch, with what happened.
type Trace struct {
	// From and To are the ends of the time axis and Zero the offset at which it
	// reads zero, such as the lighting of the bath: offsets of the record.
	From, To, Zero time.Duration
	Points         []Point // in order of At
	Marks          []Mark  // in order of At
	Holds          []Span  // when the hold counted
}

// Point is one instant of a trace. A NaN breaks the line it belongs to.
type Point struct {
	At                            time.Duration
	OilC, BathC, BoilingC, FloorC float64
}

// Mark is something that happened: an alarm, or else something a person did.
type Mark struct {
	At    time.Duration
	Alarm bool
	Text  string
}

// Span is a stretch of time.
type Span struct{ From, To time.Duration }

// gapAfter is how long may lie between two points of one line. A bath is read
// once a second; a line over a longer silence would claim readings that nobody
// took.
const gapAfter = 30 * time.Second

// curve is one of the lines of a trace.
type curve struct {
	name   string
	value  func(Point) float64
	colour uint32
	width  float64   // mm
	dashes []float64 // mm of ink and of gap: lines are told apart without colour
}

// curves are the lines, what is drawn over the others last.
func curves() []curve {
	return []curve{
		{"boiling point", func(p Point) float64 { return p.BoilingC }, 0xa1391f, 0.25, []float64{2, 0.7, 0.5, 0.7}},
		{"floor of the hold", func(p Point) float64 { return p.FloorC }, 0x2f5a3c, 0.3, []float64{0.5, 0.7}},
		{"bath", func(p Point) float64 { return p.BathC }, 0x1b6480, 0.35, []float64{1.5, 0.8}},
		{"oil", func(p Point) float64 { return p.OilC }, 0x8a6100, 0.45, nil},
	}
}

// place is a point on the paper, mm.
type place struct{ x, y float64 }

// stretches cuts one line into its unbroken parts and puts them on the paper.
func (t Trace) stretches(c curve, on axes) [][]place {
	var parts [][]place
	var last time.Duration
	open := false
	for _, p := range t.Points {
		v := c.value(p)
		if p.At < t.From || p.At > t.To {
			continue
		}
		if math.IsNaN(v) || math.IsInf(v, 0) {
			open = false
			continue
		}
		if !open || p.At-last > gapAfter {
			parts = append(parts, nil)
		}
		parts[len(parts)-1] = append(parts[len(parts)-1], place{on.x(p.At), on.y(v)})
		open, last = true, p.At
	}
	for i := range parts {
		parts[i] = thin(parts[i])
	}
	return parts
}

// column is the width in mm in which a line keeps at most four points: half the
// width of the finest line drawn.
const column = 0.15

// thin leaves of each column the first, the lowest, the highest and the last
// point, so that no peak of an oil that ran hot is lost.
func thin(line []place) []place {
	var kept []place
	for start := 0; start < len(line); {
		cell := math.Floor(line[start].x / column)
		low, high, end := start, start, start+1
		for ; end < len(line) && math.Floor(line[end].x/column) == cell; end++ {
			if line[end].y < line[low].y {
				low = end
			}
			if line[end].y > line[high].y {
				high = end
			}
		}
		last := -1
		for _, i := range [...]int{start, min(low, high), max(low, high), end - 1} {
			if i != last {
				kept = append(kept, line[i])
			}
			last = i
		}
		start = end
	}
	return kept
}

// axes are the two scales of a trace on the paper.
type axes struct {
	t                        Trace
	left, right, top, bottom float64 // mm
	low, high                float64 // °C
	ticks                    []tick
}

type tick struct {
	celsius float64
	label   float64 // in the unit of the reader
}

func (a axes) x(at time.Duration) float64 {
	if a.t.To <= a.t.From {
		return a.left
	}
	return a.left + float64((a.right-a.left)*float64(at-a.t.From)/float64(a.t.To-a.t.From))
}

func (a axes) y(celsius float64) float64 {
	return a.bottom - float64((a.bottom-a.top)*(celsius-a.low)/(a.high-a.low))
}

// scale spans all readings with some air, between ticks that are round in u.
func (a *axes) scale(u rules.Units) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range curves() {
		for _, p := range a.t.Points {
			if v := c.value(p); p.At >= a.t.From && p.At <= a.t.To && !math.IsNaN(v) && !math.IsInf(v, 0) {
				low, high = min(low, v), max(high, v)
			}
		}
	}
	if low > high {
		low, high = 10, 110 // nothing was read: cold water to above the boil
	}
	if high-low < 10 { // a flat line is no mountain range
		low, high = low-5, high+5
	}
	toUnit, toCelsius := func(c float64) float64 { return c }, func(v float64) float64 { return v }
	step := 10.0
	if u == rules.US {
		toUnit, toCelsius = func(c float64) float64 { return float64(c*1.8) + 32 }, func(f float64) float64 { return (f - 32) / 1.8 }
		step = 20
	}
	for (toUnit(high)-toUnit(low))/step > 12 { // such as a burning oil
		step *= 2
	}
	const air = 0.3 // of a step, above the highest line
	first, last := math.Floor(toUnit(low)/step), math.Ceil(toUnit(high)/step+air)
	a.low, a.high = toCelsius(first*step), toCelsius(last*step)
	for i := first; i <= last; i++ {
		a.ticks = append(a.ticks, tick{toCelsius(i * step), i * step})
	}
}
