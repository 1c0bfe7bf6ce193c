package paper

import (
	"fmt"
	"strings"
)

// footerWords are what stands below every page, so that a page that got lost can
// be put back.
func (f *flow) footerWords() (number, made string) {
	return "Batch " + orNot(f.sheet.Number), f.sheet.program() + ", record as of " + f.sheet.stamp(f.sheet.AsOf)
}

// widePage is as wide as the number of a page gets.
const widePage = "page 888 of 888"

// program names the program with its version, if that is known.
func (s *BatchSheet) program() string { return strings.TrimSpace("bainward " + s.Program) }

const (
	footerAbove = 3.0 // from the text to the line
	footerGap   = 1.5 // from the line to the words
	footerBelow = 7.0 // what no printer reaches, and some air
)

// measureFooter returns the room for the footer, mm from the lower edge.
func (f *flow) measureFooter() float64 {
	lines := len(f.footerLines(widePage))
	return footerAbove + footerGap + float64(float64(max(1, lines))*smallStyle.height()) + footerBelow
}

// footerLines returns the lines of a footer whose words do not fit beside each
// other; none: they do.
func (f *flow) footerLines(page string) []textLine {
	number, made := f.footerWords()
	middle := f.whole(made, smallStyle).width / 2
	centre := f.size.Width / 2
	if marginLeft+f.whole(number, smallStyle).width+gutter < centre-middle && centre+middle+gutter < f.size.Width-marginRight-f.whole(widePage, smallStyle).width {
		return nil
	}
	return f.lines(page+"; "+number+"; "+made, f.width(), smallStyle)
}

func (f *flow) footer() {
	y := f.bottom() + footerAbove
	f.rule(marginLeft, y, f.size.Width-marginRight, y, 0.15, faint)
	y += footerGap
	page := fmt.Sprintf("page %d of %d", f.page, f.pages)
	lines := f.footerLines(page)
	for _, l := range lines {
		f.line(l, marginLeft, y, smallStyle)
		y += smallStyle.height()
	}
	if len(lines) == 0 {
		number, made := f.footerWords()
		f.word(number, marginLeft, y, smallStyle)
		f.wordAround(made, f.size.Width/2, y, smallStyle)
		f.wordEnding(page, f.size.Width-marginRight, y, smallStyle)
	}
}

// runningHead is what stands above the pages after the first.
type runningHead struct{ number, product []textLine }

func (h runningHead) end() float64 {
	return marginTop + float64(float64(max(1, len(h.number), len(h.product)))*bodyStyle.height()) + 2
}

func (f *flow) measureHead() runningHead {
	h := runningHead{number: f.lines(f.sheet.Number, f.half(), strongStyle), product: f.lines(f.sheet.Product, f.half(), bodyStyle)}
	const most = 3
	if len(h.product) > most { // it stands in full on the first page
		h.product = nil
	}
	return h
}

func (f *flow) head() {
	for i, l := range f.later.number {
		f.line(l, marginLeft, f.y+float64(float64(i)*strongStyle.height()), strongStyle)
	}
	for i, l := range f.later.product {
		f.line(l, f.size.Width-marginRight-l.width, f.y+float64(float64(i)*bodyStyle.height()), bodyStyle)
	}
	f.y = f.later.end()
}
