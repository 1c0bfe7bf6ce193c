package paper

import (
	"slices"
	"strings"
)

// labelSet is a label as it is set, in one size of type.
type labelSet struct {
	points float64
	room   Size
	pieces []setPiece
	height float64 // mm, with the least gaps
	wide   string  // a word that is wider than its line
}

// setPiece is a part of a label that is set.
type setPiece struct {
	what   string
	lines  []textLine
	style  style
	width  float64 // of its lines at most, mm
	height float64
	corner bool // beside the next one, at the right
}

const (
	gapShare = 0.25 // between two parts at least, of the size of the type
	mostGap  = 1.6  // mm; more room than that stays below
	besideMM = 2.0  // between a corner and what is beside it
	// cornerShare is the part of the width that a corner may take; a wider one
	// stands above instead.
	cornerShare = 0.45
	whisker     = 1e-6
)

func (s labelSet) fits() bool { return s.wide == "" && s.height <= s.room.Height+whisker }

// setPieces wraps every part to the width of a label.
func (p *pen) setPieces(pieces []piece, room Size, points float64) labelSet {
	set := labelSet{points: points, room: room}
	taken := 0.0 // by a corner
	for _, one := range p.cornerFirst(pieces, room, points) {
		s := setPiece{what: one.what, style: one.style(points), width: room.Width - taken, corner: one.corner}
		taken = 0
		if one.corner {
			taken = p.whole(one.text, s.style).width + besideMM
		}
		s.lines = p.lines(one.text, s.width, s.style)
		s.height = float64(len(s.lines)) * s.leading()
		if set.wide == "" && slices.ContainsFunc(s.lines, func(l textLine) bool { return l.cut }) {
			set.wide = p.wideWord(one.text, s.width, s.style)
		}
		set.pieces = append(set.pieces, s)
	}
	_, set.height = set.tops(set.leastGap())
	return set
}

// cornerFirst moves a part that may stand in the corner before what it stands
// beside; one that is too wide for that stays below it.
func (p *pen) cornerFirst(pieces []piece, room Size, points float64) []piece {
	pieces = slices.Clone(pieces)
	for i := range pieces {
		if !pieces[i].corner {
			continue
		}
		pieces[i].corner = i > 0 && p.whole(pieces[i].text, pieces[i].style(points)).width <= room.Width*cornerShare
		if pieces[i].corner {
			pieces[i-1], pieces[i] = pieces[i], pieces[i-1]
		}
	}
	return pieces
}

// wideWord returns the first word that is wider than width.
func (p *pen) wideWord(text string, width float64, s style) string {
	for word := range strings.FieldsSeq(text) {
		if p.whole(word, s).width > width {
			return word
		}
	}
	return text
}

func (s labelSet) leastGap() float64 { return float64(gapShare*s.points) * mmPerPoint }

// leading is the distance from line to line, mm: closer than on a sheet, but so
// that no letters touch.
func (s setPiece) leading() float64 { return s.style.points * mmPerPoint * 1.13 }

// tops returns how far below the top each part begins, and the height of all, mm.
// A corner and what is beside it stand on one baseline.
func (s labelSet) tops(gap float64) (tops []float64, height float64) {
	y, bottom := 0.0, 0.0
	tops = make([]float64, len(s.pieces))
	for i, one := range s.pieces {
		tops[i] = y
		if i > 0 && s.pieces[i-1].corner {
			lower := s.pieces[i-1].style.baseline() - one.style.baseline()
			tops[i-1], tops[i] = y+max(0, -lower), y+max(0, lower)
			bottom = tops[i-1] + s.pieces[i-1].height
		}
		bottom = max(bottom, tops[i]+one.height)
		if !one.corner {
			y = bottom + gap
		}
	}
	return tops, bottom
}

// draw puts a label down with the corner of its room at x and y. Room that is left
// goes between the parts, up to a point.
func (s labelSet) draw(p *pen, x, y float64) {
	gap := s.leastGap()
	if n := len(s.pieces) - 1; n > 0 {
		gap = min(gap+(s.room.Height-s.height)/float64(n), max(gap, mostGap))
	}
	tops, _ := s.tops(gap)
	for i, one := range s.pieces {
		for n, l := range one.lines {
			left := x
			if one.corner || l.rightToLeft {
				left = x + one.width - l.width
			}
			p.line(l, left, y+tops[i]+float64(float64(n)*one.leading()), one.style)
		}
	}
}
