package paper

import (
	"errors"
	"fmt"
	"io"
	"time"

	"bainward/rules/batch/label"
)

// LabelSheet is labels and the paper for them.
type LabelSheet struct {
	LabelGrid
	Skip    int // places of the first page that are used up
	Labels  []Label
	Fonts   []string  // as in BatchSheet
	Dated   time.Time // of the document: the last entry of the record that went in
	Program string    // version of the program that drew it
}

// Label is what stands on one bottle.
type Label struct {
	Bottle string    // such as 2026-03-01-north-1/3; empty: none is printed
	Made   time.Time // the day; zero: not known, and not printed
	label.Label
}

// Labels writes labels as a PDF. Type is set as large as the label allows, and
// nothing is ever cut: what does not fit in the smallest legible type is a
// *NoRoomError, a letter that no font has a *LetterError, and then w holds
// nothing.
func Labels(w io.Writer, s LabelSheet) error {
	switch err := s.check(); {
	case err != nil:
		return err
	case len(s.Labels) == 0:
		return errors.New("labels: there are none to draw")
	case s.Skip < 0 || s.Skip >= s.perPage():
		return fmt.Errorf("labels: skip %d: a page of %s has %d places, so 0 to %d can be skipped", s.Skip, s.Name, s.perPage(), s.perPage()-1)
	}
	p, err := s.pen()
	if err != nil {
		return err
	}
	if err := s.draw(p); err != nil {
		return err
	}
	if err := p.close(w); err != nil {
		return fmt.Errorf("labels: %w", err)
	}
	return nil
}

func (s LabelSheet) pen() (*pen, error) {
	p, err := newPen(document{title: "Labels of batch " + s.Labels[0].Number, program: s.Program, date: s.Dated, page: s.Page, fonts: s.Fonts})
	if err != nil {
		return nil, fmt.Errorf("labels: %w", err)
	}
	return p, nil
}

func (s LabelSheet) draw(p *pen) error {
	insetX, insetY := s.inset()
	for i, l := range s.Labels {
		set, err := p.fit(l, s.LabelGrid)
		if err != nil {
			return err
		}
		place := (s.Skip + i) % s.perPage()
		if i == 0 || place == 0 {
			p.newPage()
			p.cutMarks(s.LabelGrid)
		}
		x, y := s.cell(place)
		set.draw(p, x+insetX, y+insetY)
	}
	return nil
}

// cutMarks draws a small cross at the corners of all labels of a page: they show
// where to cut plain paper, and whether labels that are cut already lie right.
func (p *pen) cutMarks(g LabelGrid) {
	if g.Single() {
		return
	}
	const arm, width = 1.0, 0.1
	for n := range g.perPage() {
		left, top := g.cell(n)
		for _, x := range [...]float64{left, left + g.Label.Width} {
			for _, y := range [...]float64{top, top + g.Label.Height} {
				p.rule(x-arm, y, x+arm, y, width, faint)
				p.rule(x, y-arm, x, y+arm, width, faint)
			}
		}
	}
}

// SmallestLayout returns the smallest of LabelLayouts on a page that holds all of
// the labels; if there is none, the error is that of the largest.
func SmallestLayout(page Size, labels []Label, fonts []string) (LabelGrid, error) {
	if len(labels) == 0 {
		return LabelGrid{}, errors.New("labels: there are none to draw")
	}
	p, err := LabelSheet{LabelGrid: LabelGrid{Page: page}, Labels: labels, Fonts: fonts}.pen()
	if err != nil {
		return LabelGrid{}, err
	}
	last := fmt.Errorf("labels: no sheet of labels is cut from a page of %g × %g mm", page.Width, page.Height)
	for _, g := range LabelLayouts() {
		if g.Page != page {
			continue
		}
		if last = p.holds(g, labels); last == nil {
			return g, nil
		}
		if noRoom := (*NoRoomError)(nil); !errors.As(last, &noRoom) {
			return LabelGrid{}, last
		}
	}
	return LabelGrid{}, last
}

func (p *pen) holds(g LabelGrid, labels []Label) error {
	for _, l := range labels {
		if _, err := p.fit(l, g); err != nil {
			return err
		}
	}
	return nil
}
