package paper

import "fmt"

// Margins of a sheet, mm: room for two holes at the left (ISO 838).
const (
	marginLeft  = 18.0
	marginRight = 12.0
	marginTop   = 12.0
	footerRoom  = 16.0
	gutter      = 6.0 // between two columns
	afterPart   = 2.2 // below a part
)

// Sizes of type on a sheet.
var (
	titleStyle   = style{points: 15, weight: bold, colour: ink}
	numberStyle  = style{points: 11, weight: bold, colour: ink}
	verdictStyle = style{points: 9, weight: bold, colour: ink}
	headingStyle = style{points: 8.5, weight: bold, colour: ink}
	bodyStyle    = style{points: 7.5, colour: ink}
	strongStyle  = style{points: 7.5, weight: bold, colour: ink}
	exactStyle   = style{points: 7, weight: mono, colour: ink}
	nameStyle    = style{points: 7.5, colour: muted}
	smallStyle   = style{points: 6.5, colour: muted}
	alarmStyle   = style{points: 7.5, weight: bold, colour: alarm}
)

// row is a piece of a part that is never torn in two.
type row struct {
	height float64
	draw   func(x, y float64)
}

// part is a titled stretch of a sheet, made for one width.
type part struct {
	title string
	width float64
	head  row // names of columns, repeated on every page; its draw is nil if there are none
	rows  []row
}

func (p part) height() float64 {
	h := headingHeight + p.head.height
	for _, r := range p.rows {
		h += r.height
	}
	return h + afterPart
}

const headingHeight = 5.0

// flow fills pages from top to bottom. It is run twice: the first time counts
// the pages for the second.
type flow struct {
	*pen
	sheet *BatchSheet
	y     float64
	page  int
	pages int // 0: not counted yet
}

func (f *flow) width() float64  { return f.size.Width - marginLeft - marginRight }
func (f *flow) half() float64   { return (f.width() - gutter) / 2 }
func (f *flow) bottom() float64 { return f.size.Height - footerRoom }

// turn begins a page.
func (f *flow) turn() {
	f.newPage()
	f.page++
	f.y = marginTop
	f.footer()
	if f.page > 1 {
		f.runningHead()
	}
}

func (f *flow) footer() {
	y := f.bottom() + 3
	f.rule(marginLeft, y, f.size.Width-marginRight, y, 0.15, faint)
	f.word(fmt.Sprintf("Batch %s", f.sheet.Number), marginLeft, y+1.5, smallStyle)
	f.wordEnding(fmt.Sprintf("page %d of %d", f.page, f.pages), f.size.Width-marginRight, y+1.5, smallStyle)
	f.wordAround(fmt.Sprintf("bainward %s, record as of %s", f.sheet.Program, f.sheet.stamp(f.sheet.AsOf)), f.size.Width/2, y+1.5, smallStyle)
}

func (f *flow) runningHead() {
	f.word(f.sheet.Number, marginLeft, f.y, strongStyle)
	product := f.lines(f.sheet.Product, f.half(), bodyStyle)
	for _, l := range product {
		f.line(l, f.size.Width-marginRight-l.width, f.y, bodyStyle)
		f.y += bodyStyle.height()
	}
	if len(product) == 0 {
		f.y += bodyStyle.height()
	}
	f.y += 2
}

// keptWhole is the height in mm up to which a part goes to the next page rather
// than being torn.
const keptWhole = 45.0

// place puts one part over the whole width, over as many pages as it takes.
func (f *flow) place(p part) { f.placeAt(p, marginLeft) }

func (f *flow) placeAt(p part, x float64) {
	least := p.height() - afterPart
	if least > keptWhole {
		least = headingHeight + p.head.height + p.rows[0].height
	}
	if f.y+least > f.bottom() {
		f.turn()
	}
	f.heading(p, p.title, x)
	for i, r := range p.rows {
		if i > 0 && f.y+r.height > f.bottom() {
			f.turn()
			f.heading(p, p.title+", continued", x)
		}
		r.draw(x, f.y)
		f.y += r.height
	}
	f.y += afterPart
}

func (f *flow) heading(p part, title string, x float64) {
	f.word(title, x, f.y, headingStyle)
	f.rule(x, f.y+headingHeight-1, x+p.width, f.y+headingHeight-1, 0.2, muted)
	f.y += headingHeight
	if p.head.draw != nil {
		p.head.draw(x, f.y)
		f.y += p.head.height
	}
}

// pair puts two parts of half the width beside each other, or one below the
// other if no page holds both.
func (f *flow) pair(left, right part) {
	tall := max(left.height(), right.height())
	if f.y+tall > f.bottom() && marginTop+2*bodyStyle.height()+tall > f.bottom() {
		f.placeAt(left, marginLeft)
		f.placeAt(right, marginLeft)
		return
	}
	if f.y+tall-afterPart > f.bottom() {
		f.turn()
	}
	top := f.y
	f.placeAt(left, marginLeft)
	end := f.y
	f.y = top
	f.placeAt(right, marginLeft+f.half()+gutter)
	f.y = max(f.y, end)
}
