package paper

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/go-pdf/fpdf"
)

// Greys and the one colour of warnings. A sheet is often printed on a machine
// without colours, so no colour carries a meaning alone.
const (
	ink   = 0x1c221a
	muted = 0x565c4b
	faint = 0xc9c5b6
	tint  = 0xf1eee3
	alarm = 0xa31621
	white = 0xffffff
)

// weight chooses among the fonts of a face.
type weight uint8

const (
	regular weight = iota
	bold
	mono // typewriter: for what is compared letter by letter
)

// style is how letters are set.
type style struct {
	points float64
	weight weight
	colour uint32
}

// height is the distance from line to line, mm.
func (s style) height() float64 { return s.points * mmPerPoint * 1.22 }

// baseline is how far below the top of a line its letters stand, mm.
func (s style) baseline() float64 { return s.points * mmPerPoint * 0.93 }

// pen writes on the pages of one PDF. The first failure stays in err, and
// everything after it is idle, so that drawing code need not ask at each word.
type pen struct {
	pdf    *fpdf.Fpdf
	faces  []*face
	added  map[string]bool
	widths map[widthKey]float64
	joiner *joiner
	size   Size
	err    error
}

type widthKey struct {
	face   int
	weight weight
	r      rune
}

// document is what the PDF says of itself.
type document struct {
	title, program string
	date           time.Time // zero: the epoch, never the clock
	page           Size
	fonts          []string
}

func newPen(d document) (*pen, error) {
	own, err := ownFace()
	if err != nil {
		return nil, err
	}
	p := &pen{faces: []*face{own}, added: map[string]bool{}, widths: map[widthKey]float64{}, size: d.page}
	for i, path := range d.fonts {
		f, err := openFace(path, i+1)
		if err != nil {
			return nil, err
		}
		p.faces = append(p.faces, f)
	}
	p.pdf = fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: d.page.points()})
	p.pdf.SetMargins(0, 0, 0)
	p.pdf.SetAutoPageBreak(false, 0)
	p.pdf.SetCatalogSort(true) // maps of the library in one order
	date := d.date
	if date.IsZero() {
		date = time.Unix(0, 0) // the library takes the zero time for "now"
	}
	p.pdf.SetCreationDate(date.UTC())
	p.pdf.SetModificationDate(date.UTC())
	p.pdf.SetTitle(strings.ToValidUTF8(d.title, "\uFFFD"), true) // the library panics at anything else
	p.pdf.SetProducer(strings.ToValidUTF8("bainward "+d.program, "\uFFFD"), true)
	return p, nil
}

// close writes the PDF, or returns the first failure of the whole drawing.
func (p *pen) close(w io.Writer) error {
	if err := errors.Join(p.err, p.pdf.Error()); err != nil {
		return err
	}
	return p.guarded(func() error {
		if err := p.pdf.Output(w); err != nil {
			return fmt.Errorf("write PDF: %w", err)
		}
		return nil
	})
}

func (p *pen) fail(err error) {
	if p.err == nil {
		p.err = err
	}
}

func (p *pen) newPage() { p.pdf.AddPage() }

// font makes a face current in the library, which embeds it at its first use.
func (p *pen) font(face int, s style) {
	name, file := p.faces[face].font(s.weight)
	if !p.added[name] {
		p.added[name] = true
		// A copy: the library appends to slices of what it is given, which would
		// write into the original that all documents share.
		err := p.guarded(func() error {
			p.pdf.AddUTF8FontFromBytes(name, "", slices.Clone(file))
			return p.pdf.Error()
		})
		if err != nil {
			p.fail(err)
			return
		}
	}
	p.pdf.SetFont(name, "", s.points)
}

// advance is the width of a letter, mm.
func (p *pen) advance(g glyph, s style) float64 {
	key := widthKey{g.face, s.weight, g.r}
	thousandths, known := p.widths[key]
	if !known {
		p.font(g.face, s)
		if p.err != nil {
			return 0
		}
		thousandths = float64(p.pdf.GetStringSymbolWidth(string(g.r)))
		p.widths[key] = thousandths
	}
	return thousandths / 1000 * s.points * mmPerPoint
}

// line writes one line of text with its top left corner at x and y.
func (p *pen) line(l textLine, x, y float64, s style) {
	if p.err != nil {
		return
	}
	p.pdf.SetTextColor(rgb(s.colour))
	for i := 0; i < len(l.glyphs); {
		end, width := i, 0.0
		var run []rune
		for end < len(l.glyphs) && l.glyphs[end].face == l.glyphs[i].face {
			run = append(run, l.glyphs[end].r)
			width += p.advance(l.glyphs[end], s)
			end++
		}
		p.font(l.glyphs[i].face, s)
		p.pdf.Text(x, y+s.baseline(), string(run))
		x, i = x+width, end
	}
}

// word writes a short text that must not wrap, from x on, and returns its width.
func (p *pen) word(text string, x, y float64, s style) float64 {
	l := p.whole(text, s)
	p.line(l, x, y, s)
	return l.width
}

// wordEnding writes a short text that ends at x.
func (p *pen) wordEnding(text string, x, y float64, s style) {
	l := p.whole(text, s)
	p.line(l, x-l.width, y, s)
}

// wordAround writes a short text with its middle at x.
func (p *pen) wordAround(text string, x, y float64, s style) {
	l := p.whole(text, s)
	p.line(l, x-l.width/2, y, s)
}

func rgb(colour uint32) (r, g, b int) {
	return int(colour >> 16 & 0xFF), int(colour >> 8 & 0xFF), int(colour & 0xFF)
}

// rule draws a straight line.
func (p *pen) rule(x1, y1, x2, y2, width float64, colour uint32) {
	p.pdf.SetDrawColor(rgb(colour))
	p.pdf.SetLineWidth(width)
	p.pdf.Line(x1, y1, x2, y2)
}

// box fills a rectangle.
func (p *pen) box(x, y, w, h float64, colour uint32) {
	p.pdf.SetFillColor(rgb(colour))
	p.pdf.Rect(x, y, w, h, "F")
}

// frame draws the outline of a rectangle.
func (p *pen) frame(x, y, w, h, width float64, colour uint32) {
	p.pdf.SetDrawColor(rgb(colour))
	p.pdf.SetLineWidth(width)
	p.pdf.Rect(x, y, w, h, "D")
}
