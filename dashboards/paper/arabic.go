package paper

import (
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// joinedForms are the shapes that one Arabic letter takes beside its
// neighbours; 0 where it has none. A letter with an initial form joins the one
// after it, every letter with a final form the one before.
type joinedForms struct{ isolated, final, initial, medial rune }

// joiner writes Arabic as it is joined.
type joiner struct {
	letters map[rune]joinedForms
	lamAlef map[rune]joinedForms // by the alef
}

// lam is the letter that never stands beside an alef unjoined.
const lam = 'ل'

// Signs that say how to join and are not drawn.
const (
	joinNot = '\u200C'
	joinYes = '\u200D'
	tatweel = '\u0640'
)

// formBlocks are the stretches of Arabic Presentation Forms-A and -B in which
// the forms of each letter follow each other: isolated, final, initial, medial
// (Unicode 16.0, charts UFB50 and UFE70).
var formBlocks = [...]struct{ first, last rune }{
	{0xFB50, 0xFBB1}, {0xFBD3, 0xFBE7}, {0xFBFC, 0xFBFF}, {0xFE80, 0xFEF4},
}

const firstLamAlef, lastLamAlef = 0xFEF5, 0xFEFC

// newJoiner reads the forms out of the compatibility decompositions of the
// presentation forms, so that no table of ours can have a slip.
func newJoiner() *joiner {
	j := &joiner{letters: map[rune]joinedForms{}, lamAlef: map[rune]joinedForms{}}
	for _, block := range formBlocks {
		for r := block.first; r <= block.last; {
			letter := []rune(norm.NFKC.String(string(r)))
			next := r + 1
			for next <= block.last && norm.NFKC.String(string(next)) == string(letter) {
				next++
			}
			if len(letter) == 1 {
				j.letters[letter[0]] = formsFrom(r, next-r)
			}
			r = next
		}
	}
	for r := rune(firstLamAlef); r < lastLamAlef; r += 2 {
		pair := []rune(norm.NFKC.String(string(r)))
		j.lamAlef[pair[1]] = formsFrom(r, 2)
	}
	return j
}

func formsFrom(first, count rune) joinedForms {
	f := joinedForms{isolated: first}
	if count >= 2 {
		f.final = first + 1
	}
	if count >= 4 {
		f.initial, f.medial = first+2, first+3
	}
	return f
}

// join returns text with every Arabic letter in the form that its neighbours
// ask for. Letters without forms in Unicode stay as they are.
func (j *joiner) join(text []rune) []rune {
	out := make([]rune, 0, len(text))
	open := false // the letter before joins what follows
	for i := 0; i < len(text); i++ {
		r := text[i]
		if transparent(r) {
			out = append(out, r)
			continue
		}
		forms, known := j.letters[r]
		next := following(text, i+1)
		if r == lam && next < len(text) {
			if pair, is := j.lamAlef[text[next]]; is {
				out = append(out, pair.pick(open, false))
				out = append(out, text[i+1:next]...) // marks of the lam
				i, open = next, false
				continue
			}
		}
		if !known {
			open = r == tatweel || r == joinYes
			if r != joinNot && r != joinYes {
				out = append(out, r)
			}
			continue
		}
		onward := forms.initial != 0 && next < len(text) && j.joinsBefore(text[next])
		out = append(out, forms.pick(open, onward))
		open = forms.initial != 0
	}
	return out
}

func (j *joiner) joinsBefore(r rune) bool {
	return j.letters[r].final != 0 || r == tatweel || r == joinYes
}

// pick chooses a form; back and onward tell which neighbours are joined.
func (f joinedForms) pick(back, onward bool) rune {
	switch back = back && f.final != 0; {
	case back && onward:
		return f.medial
	case back:
		return f.final
	case onward:
		return f.initial
	}
	return f.isolated
}

// transparent tells whether joining looks through r: vowel signs and the like
// (Unicode 16.0, 9.2, joining type T).
func transparent(r rune) bool { return unicode.Is(unicode.Mn, r) }

// following returns the index of the next letter that joining does not look
// through, or len(text).
func following(text []rune, i int) int {
	for i < len(text) && transparent(text[i]) {
		i++
	}
	return i
}
