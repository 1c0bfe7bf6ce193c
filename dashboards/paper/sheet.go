package paper

import (
	"fmt"
	"io"
	"unicode/utf8"
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
	if err := s.check(); err != nil {
		return err
	}
	s.changes = s.clocksChange()
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
	f := newFlow(p, s, pages)
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

// onEveryPage is how many letters the texts may have that stand on every page; a
// number or version that is longer is a slip.
const onEveryPage = 200

func (s *BatchSheet) check() error {
	if !(s.Page.Width >= 200 && s.Page.Width <= 500 && s.Page.Height >= 250 && s.Page.Height <= 500) {
		return fmt.Errorf("draw sheet of batch %.40q: a page of %g × %g mm: want A4 or Letter", s.Number, s.Page.Width, s.Page.Height)
	}
	for _, one := range [...]struct{ what, text string }{{"batch number", s.Number}, {"version of the program", s.Program}} {
		if n := utf8.RuneCountInString(one.text); n > onEveryPage {
			return fmt.Errorf("draw sheet of batch %.40q: the %s has %d letters, at most %d have room on every page", s.Number, one.what, n, onEveryPage)
		}
	}
	return nil
}

func orNot(s string) string {
	if s == "" {
		return notEntered
	}
	return s
}
