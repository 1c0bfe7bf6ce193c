package dashboards

import (
	"bytes"
	"fmt"
	"html"
	"io"
	"strconv"
)

// canvas gathers the text of an SVG drawing. Colours go in as presentation
// attributes beside a class: alone the drawing looks right, and on a page a
// style sheet outranks them, without any style attribute that a strict content
// policy would refuse.
type canvas struct{ bytes.Buffer }

// f appends text made from a format. Texts from people must pass through esc.
func (c *canvas) f(format string, args ...any) { fmt.Fprintf(&c.Buffer, format, args...) }

// esc makes s safe inside an element or a quoted attribute.
func esc(s string) string { return html.EscapeString(s) }

// num writes a coordinate with one decimal at most.
func num(v float64) string {
	s := strconv.FormatFloat(v, 'f', 1, 64)
	if n := len(s); s[n-2:] == ".0" {
		s = s[:n-2]
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// open starts a drawing that scales with its place and has a name for those who
// cannot see it.
func (c *canvas) open(class, title string, width, height int, textSize float64) {
	c.f(`<svg xmlns="http://www.w3.org/2000/svg" class="%s" viewBox="0 0 %d %d" width="%d" height="%d" role="img" font-family="system-ui, sans-serif" font-size="%s">`,
		class, width, height, width, height, num(textSize))
	c.f("<title>%s</title>", esc(title))
}

func (c *canvas) line(class, stroke string, x1, y1, x2, y2, width float64) {
	c.f(`<line class="%s" x1="%s" y1="%s" x2="%s" y2="%s" stroke="%s" stroke-width="%s"/>`,
		class, num(x1), num(y1), num(x2), num(y2), stroke, num(width))
}

func (c *canvas) rect(class, fill string, x, y, w, h float64) {
	c.f(`<rect class="%s" x="%s" y="%s" width="%s" height="%s" fill="%s"/>`,
		class, num(x), num(y), num(w), num(h), fill)
}

// text writes s at a place; anchor is start, middle or end.
func (c *canvas) text(class, fill, anchor string, x, y float64, s string) {
	c.f(`<text class="%s" x="%s" y="%s" text-anchor="%s" fill="%s">%s</text>`,
		class, num(x), num(y), anchor, fill, esc(s))
}

// path writes the points as one line in relative steps, which are shorter. The
// steps are taken between rounded places so that errors do not add up.
func (c *canvas) path(points []xy) {
	tenth := func(v float64) int64 {
		if v < 0 {
			return int64(v*10 - 0.5)
		}
		return int64(v*10 + 0.5)
	}
	px, py := tenth(points[0].x), tenth(points[0].y)
	c.f("M%s %s", num(float64(px)/10), num(float64(py)/10))
	if len(points) == 1 {
		c.WriteString("h.1") // one reading shows as a dot
		return
	}
	c.WriteString("l")
	for _, p := range points[1:] {
		x, y := tenth(p.x), tenth(p.y)
		c.f("%s %s ", num(float64(x-px)/10), num(float64(y-py)/10))
		px, py = x, y
	}
}

func (c *canvas) close(w io.Writer) error {
	c.WriteString("</svg>")
	_, err := c.WriteTo(w)
	return err
}
