package paper

import (
	"fmt"
	"time"

	"bainward/rules"
)

// Sizes of a trace on a sheet, mm.
const (
	traceHeight = 52.0
	traceLeft   = 11.0 // for the labels of the temperatures
	traceBelow  = 4.0  // for those of the times
)

var tickStyle = style{points: 6.5, colour: ink}

// traceRows makes the drawing, its legend, and the list that says what the
// numbered flags stand for: words beside the flags would cover each other.
func (f *flow) traceRows(t Trace, width float64, u rules.Units) []row {
	if len(t.Points) == 0 {
		return f.text("No readings.", width, bodyStyle)
	}
	drawing := row{traceHeight, func(x, y float64) { f.trace(t, x, y, width, u) }}
	legend := row{tickStyle.height() + 1, func(x, y float64) { f.legend(x, y) }}
	picture := row{drawing.height + legend.height, func(x, y float64) {
		drawing.draw(x, y)
		legend.draw(x, y+drawing.height)
	}}
	return append([]row{picture}, f.marks(t, width)...)
}

// inside returns the marks on the time axis.
func (t Trace) inside() []Mark {
	var in []Mark
	for _, m := range t.Marks {
		if m.At >= t.From && m.At <= t.To {
			in = append(in, m)
		}
	}
	return in
}

// since writes a distance from the zero of the time axis as hours and minutes.
func since(d time.Duration) string {
	m, sign := int64(d.Round(time.Minute)/time.Minute), ""
	if m < 0 {
		m, sign = -m, "−"
	}
	return fmt.Sprintf("%s%d:%02d", sign, m/60, m%60)
}

func (f *flow) trace(t Trace, x, y, width float64, u rules.Units) {
	a := axes{t: t, left: x + traceLeft, right: x + width - 2, bottom: y + traceHeight - traceBelow}
	flags, stories := f.flags(a)
	a.top = y + float64(float64(max(1, stories))*flagStep) + 1
	a.scale(u)
	f.holds(a)
	f.grid(a, u)
	f.drawFlags(a, flags)
	f.holdWords(a)
	f.pdf.SetLineJoinStyle("round")
	for _, c := range curves() {
		f.curve(a, c)
	}
	f.pdf.SetDashPattern(nil, 0)
}

func (f *flow) holds(a axes) {
	for _, h := range a.t.Holds {
		from, to := a.x(max(h.From, a.t.From)), a.x(min(h.To, a.t.To))
		if to <= from {
			continue
		}
		f.box(from, a.top, to-from, a.bottom-a.top, holdTint)
	}
}

const holdTint = 0xe3eede

// holdWords names the holds, over whatever threads run there.
func (f *flow) holdWords(a axes) {
	word := f.whole("hold", tickStyle)
	for _, h := range a.t.Holds {
		from, to := a.x(max(h.From, a.t.From)), a.x(min(h.To, a.t.To))
		if word.width+2 < to-from {
			y := a.bottom - tickStyle.height() - 0.5
			f.box(from+0.7, y, word.width+0.6, tickStyle.height(), holdTint)
			f.line(word, from+1, y, tickStyle)
		}
	}
}

// timeSteps are the distances between ticks that people count in.
func timeSteps() []time.Duration {
	return []time.Duration{
		time.Minute, 2 * time.Minute, 5 * time.Minute, 10 * time.Minute, 15 * time.Minute, 30 * time.Minute,
		time.Hour, 2 * time.Hour, 3 * time.Hour, 6 * time.Hour, 12 * time.Hour, 24 * time.Hour,
	}
}

func (f *flow) grid(a axes, u rules.Units) {
	for _, t := range a.ticks {
		y := a.y(t.celsius)
		f.rule(a.left, y, a.right, y, 0.1, faint)
		f.wordEnding(fmt.Sprintf("%.0f", t.label), a.left-1, y-tickStyle.height()/2, tickStyle)
	}
	degree := "°C"
	if u == rules.US {
		degree = "°F"
	}
	f.wordEnding(degree, a.left-1, a.top-tickStyle.height()-1.5, tickStyle)
	const most = 12
	step := a.t.To - a.t.From
	for _, s := range timeSteps() {
		if (a.t.To-a.t.From)/s < most {
			step = s
			break
		}
	}
	first := (a.t.From - a.t.Zero) / step * step
	for d := first; step > 0 && d <= a.t.To-a.t.Zero; d += step {
		if d < a.t.From-a.t.Zero {
			continue
		}
		x := a.x(a.t.Zero + d)
		f.rule(x, a.bottom, x, a.bottom+0.8, 0.15, muted)
		f.wordAround(since(d), x, a.bottom+0.9, tickStyle)
	}
	f.frame(a.left, a.top, a.right-a.left, a.bottom-a.top, 0.15, muted)
}

func (f *flow) curve(a axes, c curve) {
	f.pdf.SetDrawColor(rgb(c.colour))
	f.pdf.SetLineWidth(c.width)
	f.pdf.SetDashPattern(c.dashes, 0)
	for _, part := range a.t.stretches(c, a) {
		f.pdf.MoveTo(part[0].x, part[0].y)
		if len(part) == 1 { // a reading between two silences is seen as well
			f.pdf.LineTo(part[0].x+c.width, part[0].y)
		}
		for _, p := range part[1:] {
			f.pdf.LineTo(p.x, p.y)
		}
		f.pdf.DrawPath("D")
	}
}

// legend shows the lines with their names.
func (f *flow) legend(x, y float64) {
	all := curves()
	x += traceLeft
	middle := y + tickStyle.height()/2 + 0.3
	for i := len(all) - 1; i >= 0; i-- { // the oil first
		c := all[i]
		f.pdf.SetDashPattern(c.dashes, 0)
		f.rule(x, middle, x+8, middle, c.width, c.colour)
		f.pdf.SetDashPattern(nil, 0)
		x += 9 + f.word(c.name, x+9, y+0.5, tickStyle) + 4
	}
	f.box(x, y+0.8, 3, 2, alarm)
	x += 4 + f.word("alarm", x+4, y+0.5, tickStyle) + 4
	f.frame(x, y+0.8, 3, 2, 0.15, muted)
	f.word("what was done; times are hours and minutes from the lighting", x+4, y+0.5, tickStyle)
}
