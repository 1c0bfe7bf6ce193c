package calibrate

import (
	"errors"
	"fmt"
	"math"
)

// Point is what a probe reads where the temperature is known.
type Point struct {
	Reads  float64 // mean of the raw readings, °C
	ReadsU float64 // standard uncertainty of it, K
	Truth
}

// Own returns the standard uncertainty of the correction at the point itself, K.
func (p Point) Own() float64 { return Combined(p.ReadsU, p.U) }

// Line is a correction through two points: true = Gain · reads + Offset.
type Line struct {
	Gain, Offset float64
	low, high    Point
}

// MaxCorrection is the correction from which a probe is bad, K: the data sheet
// (19-7487) allows ±2 °C over the whole range of the chip, and much less here.
const MaxCorrection = 2.0

// ErrBad is wrapped by the error of Fit about a probe that is further off than the
// data sheet allows.
var ErrBad = errors.New("the probe is bad: throw it away")

// apart: two points nearer to each other make no line that reaches beyond them, K.
const apart = 40.0

// Fit puts the line through two points, in either order:
// true = T1 + (reads − r1)·(T2 − T1)/(r2 − r1).
// It refuses a probe that is more than MaxCorrection off at either of them.
func Fit(a, b Point) (Line, error) {
	if b.Reads < a.Reads {
		a, b = b, a
	}
	for _, p := range [...]Point{a, b} {
		if off := p.Reads - p.C; !(math.Abs(off) <= MaxCorrection) {
			return Line{}, fmt.Errorf("it reads %.2f °C at %.2f °C, and a sound one is within %.0f K: %w", p.Reads, p.C, MaxCorrection, ErrBad)
		}
	}
	if !(b.Reads-a.Reads >= apart) {
		return Line{}, fmt.Errorf("calibrate: the two points are %.1f K apart: want %.0f K or more", b.Reads-a.Reads, apart)
	}
	gain, offset := Through(a.Reads, a.C, b.Reads, b.C)
	return Line{Gain: gain, Offset: offset, low: a, high: b}, nil
}

// Through returns the gain and the offset of the line through two points, of each
// what is read and what is true: true = gain · reads + offset. All in °C.
func Through(reads1, true1, reads2, true2 float64) (gain, offset float64) {
	gain = (true2 - true1) / (reads2 - reads1)
	return gain, true1 - float64(reads1*gain)
}

// Celsius returns the true temperature for a raw reading, °C.
func (l Line) Celsius(reads float64) float64 { return float64(reads*l.Gain) + l.Offset }

const (
	// bend: between the points the error of a DS18B20 is not straight. The typical
	// curve of the data sheet (19-7487, figure 1, from memory) bends by 0.1 to 0.2 K
	// from 0 to 70 °C; half-width in the middle, K.
	bend = 0.2
	// aging: the data sheet allows ±0.2 °C of drift in 1000 h at 125 °C. A year of
	// baths is milder, and has no figure of its own; half-width, K.
	aging = 0.2
)

// Expanded returns the expanded uncertainty (k = 2) of one corrected reading, K, for
// the year until the next calibration. It is never below that of a point at the
// point.
func (l Line) Expanded(reads float64) float64 {
	w := (reads - l.low.Reads) / (l.high.Reads - l.low.Reads)
	middle := max(0, float64(4*w*(1-w)))
	return Expanded(Combined(
		(1-w)*l.low.U, w*l.high.U,
		l.Gain*(1-w)*l.low.ReadsU, l.Gain*w*l.high.ReadsU,
		l.Gain*Resolution(Step),
		Rectangular(bend)*middle,
		Rectangular(aging),
	))
}

// Most returns the largest expanded uncertainty over the range in which a bath is
// read, from the lower point to beyondBoil above the upper one, K: what a site keeps
// as one figure.
func (l Line) Most() float64 {
	const pieces = 32
	most := 0.0
	span := l.high.Reads + beyondBoil - l.low.Reads
	for i := range pieces + 1 {
		most = max(most, l.Expanded(l.low.Reads+float64(span*(float64(i)/pieces))))
	}
	return max(most, l.Expanded(l.high.Reads), l.Expanded((l.low.Reads+l.high.Reads)/2))
}

// beyondBoil: oil and water of a bath come a little above the boiling point of the
// day at the most, K.
const beyondBoil = 5.0
