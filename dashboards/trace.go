package dashboards

import (
	"math"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
)

// Trace is a stretch of one bath's readings, ready to be drawn.
type Trace struct {
	Bath string
	// From and To are the ends of the time axis, offsets of the record.
	From, To time.Duration
	// Zero is the offset at which the time axis reads zero: To for a live page
	// ("30 min ago"), the lighting of the bath for a batch sheet.
	Zero   time.Duration
	Points []Point // in order of At
	Marks  []Mark  // in order of At
	Holds  []Span  // when the hold counted
}

// Point is one instant of a trace. A NaN breaks the line it belongs to.
type Point struct {
	At       time.Duration
	OilC     float64
	BathC    float64
	BoilingC float64
	FloorC   float64
}

// MarkKind tells what a mark stands for.
type MarkKind uint8

// The kinds of marks.
const (
	EventMark MarkKind = iota // something the maker did
	AlarmMark                 // an alarm came up
)

// Mark is one thing that happened, with a word or two for people.
type Mark struct {
	At       time.Duration
	Kind     MarkKind
	Priority alarm.Priority // of an AlarmMark
	Text     string
}

// Span is a stretch of time.
type Span struct{ From, To time.Duration }

// Options says how to draw a trace. Width and Height are in CSS pixels; zero
// values take 360 by 260, a phone held upright.
type Options struct {
	Width, Height int
	Units         rules.Units
	Dark          bool // for a drawing that stands alone; a page brings its own colours
}

// Ends of what can be drawn: less holds no axis, more is a slip.
const (
	minWidth, maxWidth   = 240, 4000
	minHeight, maxHeight = 180, 3000
)

func (o Options) complete() Options {
	if o.Width == 0 {
		o.Width = 360
	}
	if o.Height == 0 {
		o.Height = 260
	}
	o.Width = min(max(o.Width, minWidth), maxWidth)
	o.Height = min(max(o.Height, minHeight), maxHeight)
	return o
}

// gapAfter is how long may lie between two points of one line. A bath is read
// once a second; a line drawn over a longer silence would claim readings that
// nobody took.
const gapAfter = 30 * time.Second

// series is one of the lines of a trace.
type series uint8

const (
	boilingLine series = iota
	floorLine
	bathLine
	oilLine // last: drawn over the others
	seriesCount
)

var seriesWords = [seriesCount]string{"boiling point", "floor of the hold", "bath", "oil"}

func (s series) String() string { return seriesWords[s] }

func (p Point) value(s series) float64 {
	switch s {
	case boilingLine:
		return p.BoilingC
	case floorLine:
		return p.FloorC
	case bathLine:
		return p.BathC
	}
	return p.OilC
}

// sample is one value of one line, at seconds after the trace's From.
type sample struct{ s, celsius float64 }

// runs cuts one line of t into its unbroken stretches inside the window.
func (t Trace) runs(line series) [][]sample {
	all := make([]sample, 0, len(t.Points)) // the runs share it
	var runs [][]sample
	var last time.Duration
	start, open := 0, false
	end := func() {
		if len(all) > start {
			runs = append(runs, all[start:len(all):len(all)])
		}
		start, open = len(all), false
	}
	for _, p := range t.Points {
		if p.At < t.From || p.At > t.To {
			continue
		}
		v := p.value(line)
		known := !math.IsNaN(v) && !math.IsInf(v, 0)
		if !known || open && p.At-last > gapAfter {
			end()
		}
		if known {
			all = append(all, sample{(p.At - t.From).Seconds(), v})
			open, last = true, p.At
		}
	}
	end()
	return runs
}

// extent returns the lowest and the highest reading of a line inside the
// window; low is above high if there is none.
func (t Trace) extent(line series) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range t.Points {
		v := p.value(line)
		if p.At < t.From || p.At > t.To || math.IsNaN(v) || math.IsInf(v, 0) {
			continue
		}
		low, high = min(low, v), max(high, v)
	}
	return low, high
}

// newest returns the last reading of a line, NaN if the line ends in a break.
func (t Trace) newest(line series) float64 {
	if len(t.Points) == 0 {
		return math.NaN()
	}
	return t.Points[len(t.Points)-1].value(line)
}
