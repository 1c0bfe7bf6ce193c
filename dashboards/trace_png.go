package dashboards

import (
	"fmt"
	"io"

	gonum "gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
)

// pngDPI is the resolution at which a CSS pixel is a pixel (CSS Values 4 §6.2).
const pngDPI = 96

// DrawPNG writes t as a PNG picture, for sheets and messages, where an SVG may
// not be shown.
func DrawPNG(w io.Writer, t Trace, o Options) error {
	o = o.complete()
	colours := paletteFor(o.Dark)
	p := gonum.New()
	p.BackgroundColor = rgb(colours.paper)
	p.Title.Text = t.Bath
	styleAxes(p, t, o, colours)
	for _, style := range []*text.Style{&p.Title.TextStyle, &p.X.Tick.Label, &p.Y.Tick.Label, &p.Y.Label.TextStyle} {
		style.Font.Variant = "Sans"
		style.Color = rgb(colours.ink)
	}
	if err := addParts(p, t, o, colours); err != nil {
		return fmt.Errorf("draw trace of bath %q as PNG: %w", t.Bath, err)
	}
	img := vgimg.NewWith(vgimg.UseDPI(pngDPI), vgimg.UseWH(pixels(o.Width), pixels(o.Height)))
	whole := draw.New(img)
	whole.SetColor(rgb(colours.paper))
	whole.Fill(whole.Rectangle.Path())
	legend := pixels(rowHeight)*vg.Length(int(seriesCount)/legendColumns(o)) + pixels(6)
	p.Draw(draw.Crop(whole, 0, pixels(-marginRight), legend, pixels(-4)))
	drawLegend(whole, o, colours)
	if _, err := (vgimg.PngCanvas{Canvas: img}).WriteTo(w); err != nil {
		return fmt.Errorf("write trace of bath %q as PNG: %w", t.Bath, err)
	}
	return nil
}

// legendColumns is how many names of lines stand side by side.
func legendColumns(o Options) int {
	if o.Width < 560 {
		return 2
	}
	return int(seriesCount)
}

// drawLegend names the lines at the foot of the picture, where they cover no
// reading.
func drawLegend(c draw.Canvas, o Options, colours palette) {
	words := gonum.New().Legend.TextStyle
	words.Font.Variant, words.Font.Size = "Sans", vg.Points(9)
	words.Color = rgb(colours.ink)
	columns := legendColumns(o)
	rows := int(seriesCount) / columns
	for i := range int(seriesCount) {
		line := seriesCount - 1 - series(i) // the oil first
		x := c.Min.X + pixels(10) + (c.Max.X-c.Min.X)*vg.Length(i%columns)/vg.Length(columns)
		y := c.Min.Y + pixels(rowHeight)*vg.Length(rows-i/columns) - pixels(3)
		c.StrokeLine2(lineStyle(line, colours), x, y, x+pixels(24), y)
		c.FillText(words, vg.Point{X: x + pixels(29), Y: y - pixels(4)}, line.String())
	}
}

func lineStyle(line series, colours palette) draw.LineStyle {
	style := draw.LineStyle{Color: rgb(colours.of(line)), Width: vg.Points(strokeWidth(line) * 0.75)} // CSS pixels to points
	for _, d := range dashes(line) {
		style.Dashes = append(style.Dashes, vg.Points(d*0.75))
	}
	return style
}

func pixels(n int) vg.Length { return vg.Length(n) * vg.Inch / pngDPI }

// markRoom is the part of the temperature axis added above it, free of lines,
// for the words of the marks; they stand in markSteps steps there, so that
// neighbours do not cover each other.
const (
	markRoom  = 0.24
	markSteps = 4
)

func styleAxes(p *gonum.Plot, t Trace, o Options, colours palette) {
	temps := t.temperatureScale(o.Units, max(2, o.Height/45))
	p.Y.Min, p.Y.Max = temps.low, temps.high+float64(markRoom*(temps.high-temps.low))
	p.X.Min, p.X.Max = 0, max(1, (t.To-t.From).Seconds())
	p.Y.Tick.Marker = gonum.ConstantTicks(gonumTicks(temps.ticks))
	p.X.Tick.Marker = gonum.ConstantTicks(gonumTicks(t.timeTicks(max(2, o.Width/80))))
	p.Y.Label.Text = degree(o.Units)
	for _, axis := range [...]*gonum.Axis{&p.X, &p.Y} {
		axis.Color = rgb(colours.muted)
		axis.Tick.Color = rgb(colours.muted)
	}
}

func gonumTicks(ticks []tick) []gonum.Tick {
	out := make([]gonum.Tick, len(ticks))
	for i, t := range ticks {
		out[i] = gonum.Tick{Value: t.at, Label: t.label}
	}
	return out
}

// addParts adds everything that is drawn inside the axes, lowest first.
func addParts(p *gonum.Plot, t Trace, o Options, colours palette) error {
	if err := addHolds(p, t, colours); err != nil {
		return err
	}
	if err := addMarks(p, t, colours); err != nil {
		return err
	}
	for line := range seriesCount {
		if err := addCurve(p, t, line, o, colours); err != nil {
			return err
		}
	}
	return nil
}

func addHolds(p *gonum.Plot, t Trace, colours palette) error {
	for _, h := range t.Holds {
		from := (max(h.From, t.From) - t.From).Seconds()
		to := (min(h.To, t.To) - t.From).Seconds()
		if to <= from {
			continue
		}
		area, err := plotter.NewPolygon(plotter.XYs{{X: from, Y: p.Y.Min}, {X: to, Y: p.Y.Min}, {X: to, Y: p.Y.Max}, {X: from, Y: p.Y.Max}})
		if err != nil {
			return fmt.Errorf("shade hold: %w", err)
		}
		area.Color = rgb(colours.hold)
		area.LineStyle.Width = 0
		p.Add(area)
	}
	return nil
}

func addMarks(p *gonum.Plot, t Trace, colours palette) error {
	var words plotter.XYLabels
	for _, m := range t.Marks {
		if m.At < t.From || m.At > t.To {
			continue
		}
		x := (m.At - t.From).Seconds()
		thread, err := plotter.NewLine(plotter.XYs{{X: x, Y: p.Y.Min}, {X: x, Y: p.Y.Max}})
		if err != nil {
			return fmt.Errorf("mark %q: %w", m.Text, err)
		}
		thread.Color, thread.Width = rgb(colours.event), vg.Points(0.5)
		if m.Kind == AlarmMark {
			thread.Color, thread.Width = rgb(colours.alarm), vg.Points(1.5)
		}
		p.Add(thread)
		step := (p.Y.Max - p.Y.Min) * markRoom / (1 + markRoom) / markSteps
		y := p.Y.Max - float64(step*float64(1+len(words.Labels)%markSteps))
		words.XYs = append(words.XYs, plotter.XY{X: x, Y: y})
		words.Labels = append(words.Labels, " "+m.Text)
	}
	if len(words.Labels) == 0 {
		return nil
	}
	labels, err := plotter.NewLabels(words)
	if err != nil {
		return fmt.Errorf("name marks: %w", err)
	}
	for i := range labels.TextStyle {
		labels.TextStyle[i].Color = rgb(colours.ink)
		labels.TextStyle[i].Font.Variant, labels.TextStyle[i].Font.Size = "Sans", vg.Points(9)
	}
	p.Add(labels)
	return nil
}

// addCurve adds one line as its unbroken stretches. They are thinned at the
// size of the picture: the dashes of ten readings to a pixel would close up.
func addCurve(p *gonum.Plot, t Trace, line series, o Options, colours palette) error {
	perSecond := float64(o.Width) / (p.X.Max - p.X.Min)
	perKelvin := float64(o.Height) / (p.Y.Max - p.Y.Min)
	for _, run := range t.runs(line) {
		points := make([]xy, len(run))
		for i, s := range run {
			points[i] = xy{s.s * perSecond, s.celsius * perKelvin}
		}
		var kept plotter.XYs
		for _, q := range thin(points, column) {
			kept = append(kept, plotter.XY{X: q.x / perSecond, Y: q.y / perKelvin})
		}
		l, err := plotter.NewLine(kept)
		if err != nil {
			return fmt.Errorf("draw %s: %w", line, err)
		}
		l.LineStyle = lineStyle(line, colours)
		p.Add(l)
	}
	return nil
}
