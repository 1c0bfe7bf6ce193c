package dashboards

import (
	"fmt"
	"io"

	gonum "gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
)

// pngDPI is the resolution at which a CSS pixel is a pixel (CSS Values 4 §6.2).
const pngDPI = 96

// DrawPNG writes t as a PNG picture, for sheets and messages, where an SVG
// may not be shown.
func DrawPNG(w io.Writer, t Trace, o Options) error {
	o = o.complete()
	colours := paletteFor(o.Dark)
	p := gonum.New()
	p.BackgroundColor = rgb(colours.paper)
	p.Title.Text = t.Bath
	p.Title.TextStyle.Color = rgb(colours.ink)
	styleAxes(p, t, o, colours)
	if err := addParts(p, t, colours); err != nil {
		return fmt.Errorf("draw trace of bath %q as PNG: %w", t.Bath, err)
	}
	img := vgimg.NewWith(vgimg.UseDPI(pngDPI), vgimg.UseWH(pixels(o.Width), pixels(o.Height)))
	p.Draw(draw.New(img))
	if _, err := (vgimg.PngCanvas{Canvas: img}).WriteTo(w); err != nil {
		return fmt.Errorf("write trace of bath %q as PNG: %w", t.Bath, err)
	}
	return nil
}

func pixels(n int) vg.Length { return vg.Length(n) * vg.Inch / pngDPI }

func styleAxes(p *gonum.Plot, t Trace, o Options, colours palette) {
	temps := t.temperatureScale(o.Units, max(2, o.Height/45))
	p.Y.Min, p.Y.Max = temps.low, temps.high
	p.X.Min, p.X.Max = 0, max(1, (t.To-t.From).Seconds())
	p.Y.Tick.Marker = gonum.ConstantTicks(gonumTicks(temps.ticks))
	p.X.Tick.Marker = gonum.ConstantTicks(gonumTicks(t.timeTicks(max(2, o.Width/80))))
	p.Y.Label.Text = degree(o.Units)
	for _, axis := range [...]*gonum.Axis{&p.X, &p.Y} {
		axis.Color = rgb(colours.muted)
		axis.Tick.Color = rgb(colours.muted)
		axis.Tick.Label.Color = rgb(colours.muted)
		axis.Label.TextStyle.Color = rgb(colours.muted)
	}
	p.Legend.Top, p.Legend.Left = false, false
	p.Legend.TextStyle.Color = rgb(colours.ink)
	p.Legend.YOffs = vg.Points(4)
}

func gonumTicks(ticks []tick) []gonum.Tick {
	out := make([]gonum.Tick, len(ticks))
	for i, t := range ticks {
		out[i] = gonum.Tick{Value: t.at, Label: t.label}
	}
	return out
}

// addParts adds everything that is drawn inside the axes, lowest first.
func addParts(p *gonum.Plot, t Trace, colours palette) error {
	if err := addHolds(p, t, colours); err != nil {
		return err
	}
	if err := addMarks(p, t, colours); err != nil {
		return err
	}
	for line := range seriesCount {
		if err := addCurve(p, t, line, colours); err != nil {
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
			thread.Color, thread.Width = rgb(colours.alarm), vg.Points(1)
		}
		p.Add(thread)
		// Each word one step lower than the one before, so that neighbours do
		// not cover each other.
		y := p.Y.Max - float64(p.Y.Max-p.Y.Min)*0.05*float64(1+len(words.Labels)%4)
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
	}
	p.Add(labels)
	return nil
}

// addCurve adds one line as its unbroken stretches.
func addCurve(p *gonum.Plot, t Trace, line series, colours palette) error {
	var named *plotter.Line
	for _, run := range t.runs(line) {
		points := make(plotter.XYs, len(run))
		for i, s := range run {
			points[i] = plotter.XY{X: s.s, Y: s.celsius}
		}
		l, err := plotter.NewLine(points)
		if err != nil {
			return fmt.Errorf("draw %s: %w", line, err)
		}
		l.Color = rgb(colours.of(line))
		l.Width = vg.Points(strokeWidth(line) * 0.75) // CSS pixels to points
		for _, d := range dashes(line) {
			l.Dashes = append(l.Dashes, vg.Points(d*0.75))
		}
		p.Add(l)
		named = l
	}
	if named != nil {
		p.Legend.Add(line.String(), named)
	}
	return nil
}
