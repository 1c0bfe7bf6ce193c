package dashboards

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"bainward/rules"
)

// tick is a labelled place on an axis.
type tick struct {
	at    float64 // seconds after From, or °C
	label string
}

// timeSteps are the distances between ticks that people count in.
var timeSteps = [...]time.Duration{
	time.Minute, 2 * time.Minute, 5 * time.Minute, 10 * time.Minute,
	15 * time.Minute, 30 * time.Minute, time.Hour, 2 * time.Hour, 3 * time.Hour,
	6 * time.Hour, 12 * time.Hour, 24 * time.Hour,
}

// timeTicks places at most atMost ticks at round distances from Zero.
func (t Trace) timeTicks(atMost int) []tick {
	span := t.To - t.From
	if span <= 0 || atMost < 1 {
		return nil
	}
	step := timeSteps[len(timeSteps)-1]
	for _, s := range timeSteps {
		if int64(span/s) < int64(atMost) {
			step = s
			break
		}
	}
	first := (t.From - t.Zero) / step * step
	if first < t.From-t.Zero {
		first += step
	}
	var ticks []tick
	for d := first; d <= t.To-t.Zero; d += step {
		ticks = append(ticks, tick{(t.Zero + d - t.From).Seconds(), timeLabel(d, t.Zero == t.To)})
	}
	return ticks
}

// timeLabel writes a distance from Zero. On a live page Zero is now.
func timeLabel(d time.Duration, live bool) string {
	if d == 0 && live {
		return "now"
	}
	m := int64(d / time.Minute)
	sign := ""
	if m < 0 {
		sign, m = "−", -m
	}
	switch {
	case m < 60 || m == 90:
		return fmt.Sprintf("%s%d min", sign, m)
	case m%60 == 0:
		return fmt.Sprintf("%s%d h", sign, m/60)
	}
	return fmt.Sprintf("%s%d h %02d", sign, m/60, m%60)
}

// scale is the temperature axis: its ends in °C and its ticks, which are round
// in the units that people read.
type scale struct {
	low, high float64
	ticks     []tick
}

// Ends shown when there is nothing to draw, °C: cold water to above the boil.
const (
	emptyLow  = 10.0
	emptyHigh = 110.0
)

// temperatureScale spans everything in t with some air.
func (t Trace) temperatureScale(u rules.Units, atMost int) scale {
	low, high := math.Inf(1), math.Inf(-1)
	for line := range seriesCount {
		l, h := t.extent(line)
		low, high = min(low, l), max(high, h)
	}
	if low > high {
		low, high = emptyLow, emptyHigh
	}
	if high-low < 10 { // a flat line is no mountain range
		low, high = low-5, high+5
	}
	toUnit, toCelsius := conversions(u)
	step := roundStep((toUnit(high) - toUnit(low)) / float64(atMost))
	bottom := math.Floor(toUnit(low)/step) * step
	top := math.Ceil((toUnit(high)+float64(step*0.1))/step) * step
	s := scale{low: toCelsius(bottom), high: toCelsius(top)}
	for i := 0; bottom+float64(float64(i)*step) <= top+step/2; i++ {
		v := bottom + float64(float64(i)*step)
		s.ticks = append(s.ticks, tick{toCelsius(v), strconv.FormatFloat(v, 'f', -1, 64)})
	}
	return s
}

// conversions returns the ways between °C and the unit of u.
func conversions(u rules.Units) (toUnit, toCelsius func(float64) float64) {
	if u == rules.US {
		return func(c float64) float64 { return float64(c*1.8) + 32 },
			func(f float64) float64 { return (f - 32) / 1.8 }
	}
	same := func(c float64) float64 { return c }
	return same, same
}

func degree(u rules.Units) string {
	if u == rules.US {
		return "°F"
	}
	return "°C"
}

// roundStep returns the smallest of 1, 2, 5, 10, 20, 50… that is not below
// least.
func roundStep(least float64) float64 {
	for decade := 1.0; ; decade *= 10 {
		for _, m := range [...]float64{1, 2, 5} {
			if m*decade >= least {
				return m * decade
			}
		}
	}
}
