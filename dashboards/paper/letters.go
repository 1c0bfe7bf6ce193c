package paper

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// LetterError says that a text cannot be printed as it is written.
type LetterError struct {
	Letter rune
	Script string // Unicode's name of its script, such as "Arabic"
	Text   string // the text it stands in
	Why    string
}

func (e *LetterError) Error() string {
	return fmt.Sprintf("print %q: %q (%U, script %s): %s", e.Text, e.Letter, e.Letter, e.Script, e.Why)
}

const (
	noFont   = "no font here has it; name a TrueType font that does in the option Fonts"
	noForms  = "it has no joined forms in Unicode, so it would be printed unjoined; write it with other letters"
	noShapes = "letters of this script change their shape in ways that this program cannot draw, whatever the font; write the name in another script as well"
	tooFar   = "letters beyond U+FFFF cannot be printed, whatever the font"
	control  = "a control character has no shape; take it out"
)

const noBreak = '\u00A0'

// drawnAsWritten are the scripts in which letter after letter, with what join
// and levels do, is how they are written. Others need the font's own
// rules, without which the words come out wrong.
var drawnAsWritten = [...]string{
	"Common", "Inherited", "Latin", "Greek", "Cyrillic", "Hebrew", "Arabic", "Armenian", "Georgian",
	"Han", "Hiragana", "Katakana", "Bopomofo", "Hangul", "Ethiopic", "Cherokee",
}

// scriptOf returns Unicode's name of the script of r.
func scriptOf(r rune) string {
	for name, table := range unicode.Scripts { // a rune has one script, so any order will do
		if unicode.Is(table, r) {
			return name
		}
	}
	return "unknown"
}

// clean returns the letters of text as they are to be drawn, in reading order:
// composed, joined, and without what only steers programs.
func (p *pen) clean(text string) ([]rune, error) {
	if !utf8.ValidString(text) {
		return nil, &LetterError{Letter: utf8.RuneError, Script: "unknown", Text: strings.ToValidUTF8(text, "\uFFFD"), Why: "the text is not UTF-8; enter it again"}
	}
	var letters []rune
	arabic := false
	for _, r := range norm.NFC.String(text) {
		switch {
		case r == '\t' || r == '\n' || r == '\r':
			r = ' '
		case r == 0x2007 || r == 0x202F: // narrow kinds of the no-break space, rare in fonts
			r = noBreak
		case r == 0x2011: // the no-break hyphen, likewise
			r = '-'
		case dropped(r):
			continue
		case r > 0xFFFF:
			return nil, &LetterError{r, scriptOf(r), text, tooFar}
		case unicode.IsControl(r):
			return nil, &LetterError{r, scriptOf(r), text, control}
		}
		if r > unicode.MaxLatin1 {
			script := scriptOf(r)
			if !slices.Contains(drawnAsWritten[:], script) {
				return nil, &LetterError{r, script, text, noShapes}
			}
			arabic = arabic || script == "Arabic" || r == joinNot || r == joinYes
		}
		letters = append(letters, r)
	}
	if arabic {
		return p.joined(letters, text)
	}
	return letters, nil
}

// dropped tells whether r is left out: the soft hyphen, variation selectors, and
// marks that set a direction. The last are stripped on purpose: a name that was
// copied with them keeps its reading order, and none can turn what follows it.
func dropped(r rune) bool {
	return r == 0xAD || r == 0xFEFF || r >= 0xFE00 && r <= 0xFE0F ||
		r == 0x061C || r == 0x200E || r == 0x200F || r >= 0x202A && r <= 0x202E || r >= 0x2066 && r <= 0x2069
}

func (p *pen) joined(letters []rune, text string) ([]rune, error) {
	if p.joiner == nil {
		p.joiner = newJoiner()
	}
	for _, r := range letters {
		_, known := p.joiner.letters[r]
		if !known && unicode.Is(unicode.Lo, r) && unicode.Is(unicode.Arabic, r) && r < 0xFB50 {
			return nil, &LetterError{r, "Arabic", text, noForms}
		}
	}
	return p.joiner.join(letters), nil
}

// base returns the letter that people know a joined form by.
func base(r rune) rune {
	for _, b := range norm.NFKC.String(string(r)) {
		return b
	}
	return r
}
