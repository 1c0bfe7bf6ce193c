package paper

import (
	"fmt"
	"io"
)

// Sheet writes a batch sheet as a PDF of one or two pages; a sheet that needs
// more says so on its first page. It holds what ISO 22716:2007, 7.2, asks of a
// batch record. Nothing is cut off: long texts go on over the page.
//
// It fails with a *LetterError if a text has letters that no font at hand can
// draw, and then w holds nothing.
func Sheet(w io.Writer, s BatchSheet) error {
	if s.Page == (Size{}) {
		s.Page = A4()
	}
	if s.Page.Width < 200 || s.Page.Height < 250 {
		return fmt.Errorf("draw sheet of batch %q: a page of %g × %g mm is too small, A4 or Letter is needed", s.Number, s.Page.Width, s.Page.Height)
	}
	counted, err := layOut(&s, 0)
	if err != nil {
		return err
	}
	f, err := layOut(&s, counted.page)
	if err != nil {
		return err
	}
	if f.page != counted.page { // the note about the pages itself took one
		if f, err = layOut(&s, f.page); err != nil {
			return err
		}
	}
	if err := f.close(w); err != nil {
		return fmt.Errorf("draw sheet of batch %q: %w", s.Number, err)
	}
	return nil
}

// usualPages is how many pages a sheet may have without a word about it.
const usualPages = 2

// layOut draws the whole sheet; pages is how many it is known to have.
func layOut(s *BatchSheet, pages int) (*flow, error) {
	p, err := newPen(document{title: "Batch " + s.Number, program: s.Program, date: s.AsOf, page: s.Page, fonts: s.Fonts})
	if err != nil {
		return nil, fmt.Errorf("draw sheet of batch %q: %w", s.Number, err)
	}
	f := &flow{pen: p, sheet: s, pages: pages}
	f.turn()
	f.title()
	f.whatWentIn()
	f.whatHappened()
	f.whatCameOut()
	f.evidence()
	if f.err != nil {
		return nil, fmt.Errorf("draw sheet of batch %q: %w", s.Number, f.err)
	}
	return f, nil
}

// title writes the head of the first page: product left, number right.
func (f *flow) title() {
	s := f.sheet
	numberWidth := f.width() * 0.34
	left, right := f.width()-numberWidth-gutter, f.size.Width-marginRight
	top := f.y
	f.word("Batch sheet", marginLeft, f.y, nameStyle)
	f.y += nameStyle.height()
	for _, l := range f.lines(orNot(s.Product), left, titleStyle) {
		f.line(l, marginLeft, f.y, titleStyle)
		f.y += titleStyle.height()
	}
	end := f.y
	f.y = top
	f.wordEnding("Batch number", right, f.y, nameStyle)
	f.y += nameStyle.height()
	for _, l := range f.lines(orNot(s.Number), numberWidth, numberStyle) {
		f.line(l, right-l.width, f.y, numberStyle)
		f.y += numberStyle.height()
	}
	f.y = max(end, f.y) + 1
	where := fmt.Sprintf("Made on %s at %s, bath %s. Times are %s.", day(s.Made), orNot(s.Site), orNot(s.Bath), s.zoneWords())
	for _, r := range f.text(where, f.width(), bodyStyle) {
		r.draw(marginLeft, f.y)
		f.y += r.height
	}
	if f.pages > usualPages {
		f.note(fmt.Sprintf("This sheet has %d pages, more than usual. Keep all of them together: none is complete alone.", f.pages))
	}
	f.y += 1
	f.verdict()
}

func (f *flow) note(text string) {
	for _, r := range f.text(text, f.width(), alarmStyle) {
		r.draw(marginLeft, f.y)
		f.y += r.height
	}
}

// verdict is the line that an eye looks for first.
func (f *flow) verdict() {
	s := f.sheet
	const high = 7.0
	f.box(marginLeft, f.y, f.width(), high, tint)
	look := verdictStyle
	x := marginLeft + 2
	y := f.y + (high-look.height())/2
	x += f.word("Verdict: "+orNot(s.Verdict), x, y, look) + 8
	x += f.word("Hottest oil: "+temperature(s.Units, s.OilMaxC), x, y, look) + 8
	x += f.word(fmt.Sprintf("Alarms: %d", len(s.Alarms)), x, y, look) + 8
	f.word(fmt.Sprintf("Deviations: %d", len(s.Deviations)), x, y, look)
	f.y += high + afterPart + 1
}

func orNot(s string) string {
	if s == "" {
		return notEntered
	}
	return s
}
