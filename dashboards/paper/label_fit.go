package paper

import "fmt"

// Type of a label's body: from the first to the smallest legible one, in steps.
const (
	largestPoints = 9.0
	stepPoints    = 0.25
)

// How high the letter x must be in print, mm, and the area in mm² below which the
// lower one holds: Article 13(2) and (3) of Regulation (EU) No 1169/2011. That is
// the law of food labels; that of cosmetics says only "legible" (Article 19(1) of
// Regulation (EC) No 1223/2009), and this is the measure of it that there is. The
// law means the largest side of the package, which is not known here: the label
// stands for it.
const (
	leastX      = 1.2
	leastXSmall = 0.9
	smallArea   = 8000.0
)

// leastPoints is the smallest type that a label may have.
func (h heights) leastPoints(s Size) float64 {
	x := leastX
	if s.Width*s.Height < smallArea {
		x = leastXSmall
	}
	return x / h.x / mmPerPoint
}

// NoRoomError says that a label is too small for what must stand on it.
type NoRoomError struct {
	Title, Bottle string // whose label
	Label         Size
	Points        float64 // the smallest legible type on it
	NeedMM, HasMM float64 // height
	Word          string  // if not empty: this is wider than the label
	Most          string  // what takes most of the room, with its mm
	Larger        string  // the smallest layout that holds it; empty: none
}

func (e *NoRoomError) Error() string {
	whose := e.Title
	if e.Bottle != "" {
		whose = e.Bottle
	}
	why := fmt.Sprintf("it needs %.1f mm of height and has %.1f, most of it for %s", e.NeedMM, e.HasMM, e.Most)
	if e.Word != "" {
		why = fmt.Sprintf("%q is wider than it", e.Word)
	}
	hint := "no sheet of labels holds it: shorten what is long, or print one a page, as large as it takes"
	if e.Larger != "" {
		hint = "the smallest sheet that holds it is " + e.Larger
	}
	return fmt.Sprintf("label of %s does not fit on %g × %g mm even in type of %.1f pt: %s; nothing is cut off, so use a larger size: %s",
		whose, e.Label.Width, e.Label.Height, e.Points, why, hint)
}

// fit sets a label in the largest type in which all of it has room.
func (p *pen) fit(l Label, g LabelGrid) (labelSet, error) {
	h, err := p.faces[0].heights()
	if err != nil {
		return labelSet{}, fmt.Errorf("labels: %w", err)
	}
	set := p.fitPieces(l.pieces(h), g, h)
	if p.err != nil {
		return labelSet{}, fmt.Errorf("label of %s: %w", l.Title, p.err)
	}
	if set.fits() {
		return set, nil
	}
	return labelSet{}, p.noRoom(l, g, set, h)
}

// fitPieces returns the first set that fits, else the last, in the smallest type.
func (p *pen) fitPieces(pieces []piece, g LabelGrid, h heights) (set labelSet) {
	insetX, insetY := g.inset()
	room := Size{g.Label.Width - 2*insetX, g.Label.Height - 2*insetY}
	least := h.leastPoints(g.Label)
	for points := largestPoints; ; points -= stepPoints {
		set = p.setPieces(pieces, room, max(points, least))
		if set.fits() || points <= least || p.err != nil {
			return set
		}
	}
}

func (p *pen) noRoom(l Label, g LabelGrid, set labelSet, h heights) error {
	e := &NoRoomError{Title: l.Title, Bottle: l.Bottle, Label: g.Label, Points: set.points, NeedMM: set.height, HasMM: set.room.Height, Word: set.wide}
	most := 0.0
	for _, s := range set.pieces {
		if s.height > most {
			most, e.Most = s.height, fmt.Sprintf("%s (%.1f mm)", s.what, s.height)
		}
	}
	for _, larger := range LabelLayouts() {
		if larger.Page != g.Page && !g.Single() {
			continue // other paper
		}
		if p.fitPieces(l.pieces(h), larger, h).fits() {
			e.Larger = larger.String()
			break
		}
	}
	return e
}
