package paper

// Margins of a sheet, mm: room for two holes at the left (ISO 838).
const (
	marginLeft  = 18.0
	marginRight = 12.0
	marginTop   = 12.0
	gutter      = 6.0 // between two columns
	afterPart   = 1.8 // below a part
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
	whole bool // not torn, however tall, if a page can hold it
}

func (p part) height() float64 {
	h := headingHeight + p.head.height
	for _, r := range p.rows {
		h += r.height
	}
	return h + afterPart
}

const headingHeight = 4.8

// flow fills pages from top to bottom. It is run twice: the first time counts
// the pages for the second.
type flow struct {
	*pen
	sheet *BatchSheet
	y     float64
	page  int
	pages int // 0: not counted yet

	footerRoom float64
	later      runningHead // of all pages but the first
}

func newFlow(p *pen, s *BatchSheet, pages int) *flow {
	f := &flow{pen: p, sheet: s, pages: pages}
	f.footerRoom = f.measureFooter()
	f.later = f.measureHead()
	return f
}

func (f *flow) width() float64  { return f.size.Width - marginLeft - marginRight }
func (f *flow) half() float64   { return (f.width() - gutter) / 2 }
func (f *flow) bottom() float64 { return f.size.Height - f.footerRoom }

// past tells whether something that ends at y would reach into the footer.
func (f *flow) past(y float64) bool {
	const whisker = 1e-6 // heights are added up in different orders
	return y > f.bottom()+whisker
}

// turn begins a page.
func (f *flow) turn() {
	f.newPage()
	f.page++
	f.y = marginTop
	f.footer()
	if f.page > 1 {
		f.head()
	}
}

// keptWhole is the height in mm up to which a part goes to the next page rather
// than being torn; of a taller one, leastRows stay together.
const (
	keptWhole = 24.0
	leastRows = 2
)

// place puts one part over the whole width, over as many pages as it takes.
func (f *flow) place(p part) { f.placeAt(p, marginLeft) }

func (f *flow) placeAt(p part, x float64) {
	if f.past(f.y + f.least(p)) {
		f.turn()
	}
	f.heading(p, p.title, x)
	for i, r := range p.rows {
		if i > 0 && f.past(f.y+r.height) {
			f.turn()
			f.heading(p, p.title+", continued", x)
		}
		r.draw(x, f.y)
		f.y += r.height
	}
	f.y += afterPart
}

// least is the height that must be left on a page for a part to begin on it.
func (f *flow) least(p part) float64 {
	all := p.height() - afterPart
	if all <= keptWhole || p.whole && !f.past(f.later.end()+all) {
		return all
	}
	height := headingHeight + p.head.height
	for _, r := range p.rows[:min(leastRows, len(p.rows))] {
		height += r.height
	}
	return height
}

// run puts rows without a heading, over as many pages as it takes.
func (f *flow) run(rows []row) {
	for _, r := range rows {
		if f.past(f.y + r.height) {
			f.turn()
		}
		r.draw(marginLeft, f.y)
		f.y += r.height
	}
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
	if f.past(f.y+tall) && f.past(f.later.end()+tall) {
		f.placeAt(left, marginLeft)
		f.placeAt(right, marginLeft)
		return
	}
	if f.past(f.y + tall - afterPart) {
		f.turn()
	}
	top := f.y
	f.placeAt(left, marginLeft)
	end := f.y
	f.y = top
	f.placeAt(right, marginLeft+f.half()+gutter)
	f.y = max(f.y, end)
}
