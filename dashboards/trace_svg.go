package dashboards

import (
	"fmt"
	"io"
	"math"
	"time"
	"unicode/utf8"

	"bainward/rules"
	"bainward/rules/alarm"
)

// DrawSVG writes t as an SVG drawing.
//
// It is drawn by hand and not by the plotting library that makes the PNG: the
// library's SVG has no classes and fixed colours, so it could not follow a
// page's light and dark, and its text does not keep a readable size on a phone.
func DrawSVG(w io.Writer, t Trace, o Options) error {
	o = o.complete()
	c := new(canvas)
	c.open("trace", t.describe(o.Units), o.Width, o.Height, textSize)
	p := newPlot(t, o)
	p.frame(c)
	p.holds(c)
	p.marks(c)
	for line := range seriesCount {
		p.curve(c, line)
	}
	p.legend(c)
	return c.close(w)
}

// describe says in words what the drawing shows, for those who cannot see it.
func (t Trace) describe(u rules.Units) string {
	now := func(line series) string {
		if v := t.newest(line); !math.IsNaN(v) {
			return u.Temp(v)
		}
		return "no reading"
	}
	s := fmt.Sprintf("Trace of %s over %s. At its end: oil %s, bath %s.",
		t.Bath, rules.Minutes(t.To-t.From), now(oilLine), now(bathLine))
	if _, highest := t.extent(oilLine); highest > math.Inf(-1) {
		s += " Hottest oil " + u.Temp(highest) + "."
	}
	return s
}

// Sizes of the drawing, pixels.
const (
	textSize    = 12.0
	rowHeight   = 15.0
	marginLeft  = 34.0
	marginRight = 12.0
	axisBelow   = 20.0
	maxMarkRows = 3
)

// textWidth guesses how wide s runs. System fonts average a little over half
// their size a letter; a guess too wide costs air, one too narrow overlaps.
func textWidth(s string) float64 { return float64(utf8.RuneCountInString(s)) * textSize * 0.58 }

// plot is a trace with its places on the paper worked out.
type plot struct {
	trace                    Trace
	o                        Options
	colours                  palette
	left, right, top, bottom float64
	temps                    scale
	labels                   []markLabel
}

func newPlot(t Trace, o Options) *plot {
	p := &plot{trace: t, o: o, colours: paletteFor(o.Dark), left: marginLeft, right: float64(o.Width) - marginRight}
	rows := p.placeLabels()
	p.top = float64(rows)*rowHeight + 12
	p.bottom = float64(o.Height) - axisBelow - float64(p.legendRows())*rowHeight - 4
	p.temps = t.temperatureScale(o.Units, max(2, int((p.bottom-p.top)/32)))
	return p
}

// x returns the place of s seconds after From.
func (p *plot) x(s float64) float64 {
	span := (p.trace.To - p.trace.From).Seconds()
	if span <= 0 {
		return p.left
	}
	return p.left + float64((p.right-p.left)*s/span)
}

func (p *plot) y(celsius float64) float64 {
	return p.bottom - float64((p.bottom-p.top)*(celsius-p.temps.low)/(p.temps.high-p.temps.low))
}

func (p *plot) seconds(at time.Duration) float64 { return (at - p.trace.From).Seconds() }

// frame draws the axes with their ticks.
func (p *plot) frame(c *canvas) {
	for _, tick := range p.temps.ticks {
		y := p.y(tick.at)
		c.line("t-grid", p.colours.line, p.left, y, p.right, y, 1)
		c.text("t-tick", p.colours.muted, "end", p.left-5, y+4, tick.label)
	}
	c.text("t-tick", p.colours.muted, "start", 2, p.top-7, degree(p.o.Units))
	for _, tick := range p.trace.timeTicks(int((p.right - p.left) / 68)) {
		x := p.x(tick.at)
		c.line("t-grid", p.colours.line, x, p.bottom, x, p.bottom+4, 1)
		anchor := "middle"
		if x+textWidth(tick.label)/2 > float64(p.o.Width) {
			anchor, x = "end", float64(p.o.Width)-1
		}
		c.text("t-tick", p.colours.muted, anchor, x, p.bottom+16, tick.label)
	}
}

// holds shades the time that counted.
func (p *plot) holds(c *canvas) {
	for _, h := range p.trace.Holds {
		from, to := p.x(p.seconds(max(h.From, p.trace.From))), p.x(p.seconds(min(h.To, p.trace.To)))
		if to <= from {
			continue
		}
		c.rect("t-hold", p.colours.hold, from, p.top, to-from, p.bottom-p.top)
		if to-from > textWidth("hold") {
			c.text("t-holdword", p.colours.floor, "start", from+4, p.bottom-6, "hold")
		}
	}
}

func (p *plot) curve(c *canvas, line series) {
	stretches := p.stretches(line)
	if len(stretches) == 0 {
		return
	}
	c.f(`<path class="t-line t-%s" fill="none" stroke="%s" stroke-width="%s" stroke-linejoin="round" stroke-linecap="round"%s d="`,
		lineClass(line), p.colours.of(line), num(strokeWidth(line)), dashAttribute(line))
	for _, s := range stretches {
		c.path(thin(s, column))
	}
	c.WriteString(`"/>`)
}

const (
	column = 1.5 // pixels that keep at most four points; see thin
	// unseen is the width of a gap that no eye finds, pixels. A probe that
	// falters every other second would otherwise draw thousands of dots.
	unseen = 1.0
)

// stretches puts the runs of a line on the paper.
func (p *plot) stretches(line series) [][]xy {
	var stretches [][]xy
	for _, run := range p.trace.runs(line) {
		points := make([]xy, len(run))
		for i, s := range run {
			points[i] = xy{p.x(s.s), p.y(s.celsius)}
		}
		if last := len(stretches) - 1; last >= 0 && points[0].x-stretches[last][len(stretches[last])-1].x < unseen {
			stretches[last] = append(stretches[last], points...)
			continue
		}
		stretches = append(stretches, points)
	}
	return stretches
}

func lineClass(s series) string {
	return [seriesCount]string{"boiling", "floor", "bath", "oil"}[s]
}

func dashAttribute(s series) string {
	list := ""
	for _, d := range dashes(s) {
		list += num(d) + " "
	}
	if list == "" {
		return ""
	}
	return ` stroke-dasharray="` + list[:len(list)-1] + `"`
}

// markLabel is a mark with the row in which its words find room; row -1 has
// none, and only the mark itself is drawn.
type markLabel struct {
	mark Mark
	x    float64
	row  int
	end  bool // the words stand left of the mark
}

// placeLabels finds each mark a row above the plot and returns how many rows
// are used. Words that would run into others are left out, gravest kept first.
func (p *plot) placeLabels() int {
	var taken [maxMarkRows][]xy // x: start, y: end of the words
	rows := 0
	for _, alarms := range [...]bool{true, false} {
		for _, m := range p.trace.Marks {
			if (m.Kind == AlarmMark) != alarms || m.At < p.trace.From || m.At > p.trace.To {
				continue
			}
			l := markLabel{mark: m, x: p.x(p.seconds(m.At)), row: -1}
			width := textWidth(m.Text) + 12
			l.end = l.x+width > float64(p.o.Width)
			from, to := l.x-6, l.x+width
			if l.end {
				from, to = l.x-width, l.x+6
			}
			for r := range taken {
				if from >= 0 && free(taken[r], from, to) {
					taken[r] = append(taken[r], xy{from, to})
					l.row, rows = r, max(rows, r+1)
					break
				}
			}
			p.labels = append(p.labels, l)
		}
	}
	return rows
}

func free(taken []xy, from, to float64) bool {
	for _, t := range taken {
		if from < t.y && to > t.x {
			return false
		}
	}
	return true
}

// marks draws what happened: a full triangle for an alarm, an open one for what
// the maker did, with a thread down to the time axis.
func (p *plot) marks(c *canvas) {
	for _, l := range p.labels {
		y := p.top - 3
		if l.row >= 0 {
			y = float64(l.row+1) * rowHeight
		}
		p.mark(c, l, y)
	}
}

func (p *plot) mark(c *canvas, l markLabel, y float64) {
	class, colour, fill, word := "t-event", p.colours.event, "none", l.mark.Text
	if l.mark.Kind == AlarmMark {
		class, colour, fill = "t-alarm", p.colours.alarm, p.colours.alarm
		word = fmt.Sprintf("alarm, %s: %s", alarm.Priority(l.mark.Priority), l.mark.Text)
	}
	c.f(`<g class="%s"><title>%s, %s</title>`, class, esc(word), timeLabel(l.mark.At-p.trace.Zero, p.trace.Zero == p.trace.To))
	c.line("t-thread", colour, l.x, y, l.x, p.bottom, 1)
	c.f(`<path class="t-flag" d="M%s %sl8 0l-4 7z" fill="%s" stroke="%s"/>`, num(l.x-4), num(y-7), fill, colour)
	if l.row >= 0 {
		anchor, x := "start", l.x+7
		if l.end {
			anchor, x = "end", l.x-7
		}
		c.text("t-word", colour, anchor, x, y, l.mark.Text)
	}
	c.WriteString("</g>")
}

// legendPlaces lays the names of the lines out below the plot.
func (p *plot) legendPlaces() []xy {
	places := make([]xy, seriesCount)
	x, row := p.left, 0
	for i := range seriesCount {
		s := seriesCount - 1 - i // the oil first
		width := 28 + textWidth(s.String()) + 12
		if x+width > float64(p.o.Width) && x > p.left {
			x, row = p.left, row+1
		}
		places[s] = xy{x, float64(row)}
		x += width
	}
	return places
}

func (p *plot) legendRows() int { return int(p.legendPlaces()[0].y) + 1 }

func (p *plot) legend(c *canvas) {
	for s, place := range p.legendPlaces() {
		line := series(s)
		y := p.bottom + axisBelow + float64(place.y+1)*rowHeight - 2
		c.f(`<path class="t-line t-%s" fill="none" stroke="%s" stroke-width="%s"%s d="M%s %sh24"/>`,
			lineClass(line), p.colours.of(line), num(strokeWidth(line)), dashAttribute(line), num(place.x), num(y-4))
		c.text("t-word", p.colours.ink, "start", place.x+28, y, line.String())
	}
}
