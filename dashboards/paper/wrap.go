package paper

import (
	"strings"
	"unicode"
)

// glyph is a letter with the typeface that has it.
type glyph struct {
	r    rune
	face int
}

// paragraph is text in reading order, ready to be cut into lines.
type paragraph struct {
	letters     []rune
	faces       []int
	level       []uint8
	rightToLeft bool
}

// textLine is a line as it stands on the paper, from left to right.
type textLine struct {
	glyphs      []glyph
	width       float64 // mm
	rightToLeft bool
	cut         bool // it ends inside a word, for the word is wider than the line
}

// paragraph prepares text; a letter that nothing can draw is the pen's failure.
func (p *pen) paragraph(text string) paragraph {
	letters, err := p.clean(text)
	if err != nil {
		p.fail(err)
		return paragraph{}
	}
	para := paragraph{letters: letters, faces: make([]int, len(letters))}
	if para.level, para.rightToLeft, err = levels(letters); err != nil {
		p.fail(err)
		return paragraph{}
	}
	for i, r := range letters {
		if para.level[i] == 1 {
			r = mirrored(r)
		}
		if para.faces[i] = p.faceFor(r); para.faces[i] < 0 {
			p.fail(&LetterError{base(r), scriptOf(r), text, noFont})
			return paragraph{}
		}
	}
	return para
}

// faceFor returns the first face that can draw r, -1 if there is none.
func (p *pen) faceFor(r rune) int {
	for i, f := range p.faces {
		if f.has(r) {
			return i
		}
	}
	return -1
}

// lines cuts text at its line ends, and wraps what is wider than width mm. An
// empty text has no line.
func (p *pen) lines(text string, width float64, s style) []textLine {
	if strings.TrimSpace(text) == "" {
		return nil
	}
	var lines []textLine
	for part := range strings.SplitSeq(text, "\n") {
		lines = append(lines, p.wrap(p.paragraph(strings.TrimRight(part, " \t\r")), width, s)...)
	}
	return lines
}

// whole sets text on one line, however wide.
func (p *pen) whole(text string, s style) textLine {
	para := p.paragraph(text)
	return p.set(para, 0, len(para.letters), s)
}

// wrap fills lines up to width mm. A word that is wider than a line is cut.
func (p *pen) wrap(para paragraph, width float64, s style) []textLine {
	const whisker = 1e-6 // a text may be as wide as it was measured to be
	n := len(para.letters)
	if n == 0 {
		return []textLine{{}}
	}
	var lines []textLine
	for start := 0; start < n; {
		end, fits, used := start, start, 0.0
		for end < n {
			used += p.advance(para.glyph(end), s)
			if used > width+whisker && para.letters[end] != ' ' {
				break
			}
			end++
			if para.mayBreakAfter(end - 1) {
				fits = end
			}
		}
		cut := false
		switch {
		case end == n:
			fits = n
		case fits == start:
			cut, fits = true, max(end, start+1)
		}
		l := p.set(para, start, fits, s)
		l.cut = cut
		lines = append(lines, l)
		for start = fits; start < n && para.letters[start] == ' '; start++ {
		}
	}
	return lines
}

// chopped cuts text after as many letters as fit into width mm, wherever that is
// but beside a space, which nobody would see at the end of a line. An empty text
// has one empty line.
func (p *pen) chopped(text string, width float64, s style) []textLine {
	para := p.paragraph(text)
	n := len(para.letters)
	if n == 0 {
		return []textLine{{}}
	}
	var lines []textLine
	for start := 0; start < n; {
		end, used := start, 0.0
		for ; end < n; end++ {
			if used += p.advance(para.glyph(end), s); used > width && end > start {
				break
			}
		}
		for back := end; end < n && back > start+1; back-- {
			if para.letters[back] != ' ' && para.letters[back-1] != ' ' {
				end = back
				break
			}
		}
		lines = append(lines, p.set(para, start, end, s))
		start = end
	}
	return lines
}

// glyph returns the letter at i as it is drawn.
func (para paragraph) glyph(i int) glyph {
	r := para.letters[i]
	if para.level[i] == 1 {
		r = mirrored(r)
	}
	return glyph{r, para.faces[i]}
}

// mayBreakAfter tells whether a line may end after the letter at i: at spaces,
// after hyphens and strokes between letters, and beside ideographs, which have
// no spaces (a small part of UAX #14).
func (para paragraph) mayBreakAfter(i int) bool {
	r := para.letters[i]
	if i+1 == len(para.letters) {
		return true
	}
	next := para.letters[i+1]
	switch {
	case r == ' ': // but not between a figure and its degrees
		return next != '°'
	case next == ' ' || next == noBreak || r == noBreak:
		return false
	case r == '-' && unicode.IsDigit(next) && i > 0 && unicode.IsDigit(para.letters[i-1]):
		return false // a date in two lines is misread
	case r == '-' || r == '/' || r == '–':
		return i > 0 && para.letters[i-1] != ' '
	}
	return ideograph(r) && !strings.ContainsRune("、。）」", next) || ideograph(next) && r != '（' && r != '「'
}

// ideograph tells of Han, kana and their punctuation.
func ideograph(r rune) bool { return r >= 0x3000 && r <= 0x9FFF && r != '、' && r != '。' }

// set puts the letters from start to end on one line, in their visual order;
// spaces at its ends are left out (UAX #9, L1).
func (p *pen) set(para paragraph, start, end int, s style) textLine {
	for end > start && para.letters[end-1] == ' ' {
		end--
	}
	l := textLine{rightToLeft: para.rightToLeft}
	if start >= end {
		return l
	}
	for _, i := range visual(para.level[start:end], para.letters[start:end]) {
		g := para.glyph(start + i)
		l.glyphs = append(l.glyphs, g)
		l.width += p.advance(g, s)
	}
	return l
}
