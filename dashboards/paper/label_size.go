package paper

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// LabelGrid is how labels lie on a page, mm.
type LabelGrid struct {
	Name         string // such as "70x37"
	Page, Label  Size
	Across, Down int
	Left, Top    float64 // from the edge of the page to the first label
	GapX, GapY   float64 // between labels
}

const mmPerInch = 25.4

// LabelLayouts returns the sheets of labels that are sold cut to size, by the
// measure of one label, the smallest first. Measures are those of the trade
// (common practice, no source).
func LabelLayouts() []LabelGrid {
	return []LabelGrid{
		centred("2.625x1in", Letter(), Size{2.625 * mmPerInch, 1 * mmPerInch}, 3, 10, 0.125*mmPerInch),
		centred("63.5x38.1", A4(), Size{63.5, 38.1}, 3, 7, 2.54),
		centred("70x37", A4(), Size{70, 37}, 3, 8, 0),
		centred("4x2in", Letter(), Size{4 * mmPerInch, 2 * mmPerInch}, 2, 5, 0.1875*mmPerInch),
		centred("99.1x57", A4(), Size{99.1, 57}, 2, 5, 2.54),
		centred("105x74", A4(), Size{105, 74}, 2, 4, 0),
	}
}

func centred(name string, page, label Size, across, down int, gapX float64) LabelGrid {
	return LabelGrid{
		Name: name, Page: page, Label: label, Across: across, Down: down, GapX: gapX,
		Left: (page.Width - float64(float64(across)*label.Width) - float64(float64(across-1)*gapX)) / 2,
		Top:  (page.Height - float64(float64(down)*label.Height)) / 2,
	}
}

// LabelLayout returns the sheet of labels with a name of LabelLayouts.
func LabelLayout(name string) (LabelGrid, error) {
	plain := plainSize(name)
	var known []string
	for _, g := range LabelLayouts() {
		if g.Name == plain {
			return g, nil
		}
		known = append(known, g.String())
	}
	return LabelGrid{}, fmt.Errorf("labels: no sheet of labels is cut to %q: there are %s; any other size is printed one a page, if that is asked for (single)", name, strings.Join(known, ", "))
}

// Bounds of a single label, mm: what printers of labels take.
const leastSide, mostSide = 25.0, 200.0

// SingleLabel returns a page that is one label, such as "60x40": width by height
// in mm, or in inches with "in" behind it.
func SingleLabel(size string) (LabelGrid, error) {
	plain := plainSize(size)
	measure, inches := strings.CutSuffix(plain, "in")
	width, height, both := strings.Cut(measure, "x")
	w, errW := strconv.ParseFloat(width, 64)
	h, errH := strconv.ParseFloat(height, 64)
	if !both || errW != nil || errH != nil {
		return LabelGrid{}, fmt.Errorf("labels: size %q: want width and height in mm, such as 60x40", size)
	}
	if inches {
		w, h = w*mmPerInch, h*mmPerInch
	}
	if !(w >= leastSide && w <= mostSide && h >= leastSide && h <= mostSide) {
		return LabelGrid{}, fmt.Errorf("labels: size %q: each side must be from %g to %g mm", size, leastSide, mostSide)
	}
	return LabelGrid{Name: plain, Page: Size{w, h}, Label: Size{w, h}, Across: 1, Down: 1}, nil
}

// plainSize takes away how people write the same size differently.
func plainSize(size string) string {
	size = strings.ToLower(strings.Join(strings.Fields(size), ""))
	return strings.TrimSuffix(strings.ReplaceAll(size, "×", "x"), "mm")
}

// Single tells whether the page is the label.
func (g LabelGrid) Single() bool { return g.Across == 1 && g.Down == 1 && g.Page == g.Label }

// String names size and paper, such as "70x37 on A4".
func (g LabelGrid) String() string {
	if g.Single() {
		return g.Name + ", one a page"
	}
	return g.Name + " on " + g.paperName()
}

func (g LabelGrid) paperName() string {
	switch g.Page {
	case A4():
		return "A4"
	case Letter():
		return "Letter"
	}
	return fmt.Sprintf("%g × %g mm", g.Page.Width, g.Page.Height)
}

func (g LabelGrid) perPage() int { return g.Across * g.Down }

// cell returns the top left corner of the nth place of a page, row by row.
func (g LabelGrid) cell(n int) (x, y float64) {
	column, row := float64(n%g.Across), float64(n/g.Across)
	return g.Left + float64(column*(g.Label.Width+g.GapX)), g.Top + float64(row*(g.Label.Height+g.GapY))
}

// Room that stays empty around what is printed, mm (common practice, no source):
// sheets slip a little in a printer, and no office printer reaches the edge of a
// page.
const (
	insideLabel = 2.0
	insidePage  = 4.5
	insideTiny  = 1.5 // single labels: their printers reach nearly to the edge
)

// inset is the empty room inside each label. It is the same for all of them, so
// that they look alike wherever they lie on the page.
func (g LabelGrid) inset() (x, y float64) {
	if g.Single() {
		return insideTiny, insideTiny
	}
	return max(insideLabel, insidePage-g.Left), max(insideLabel, insidePage-g.Top)
}

func (g LabelGrid) check() error {
	right := g.Left + float64(float64(g.Across)*(g.Label.Width+g.GapX)) - g.GapX
	bottom := g.Top + float64(float64(g.Down)*(g.Label.Height+g.GapY)) - g.GapY
	const whisker = 1e-6
	least := math.Min(g.Label.Width, g.Label.Height)
	switch {
	case g.Across < 1 || g.Down < 1 || !(least > 0):
		return fmt.Errorf("labels: %d × %d labels of %g × %g mm are none", g.Across, g.Down, g.Label.Width, g.Label.Height)
	case g.Left < -whisker || g.Top < -whisker || g.GapX < 0 || g.GapY < 0 || !(right <= g.Page.Width+whisker) || !(bottom <= g.Page.Height+whisker):
		return fmt.Errorf("labels: %d × %d labels of %g × %g mm reach over a page of %g × %g mm", g.Across, g.Down, g.Label.Width, g.Label.Height, g.Page.Width, g.Page.Height)
	}
	return nil
}
