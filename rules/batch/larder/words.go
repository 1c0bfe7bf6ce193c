package larder

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// plainWords returns s in small letters with single spaces between the words;
// everything that is not a letter parts words, but apostrophes vanish, so that
// "St John's wort" and "st johns wort" are one.
func plainWords(s string) string {
	var out strings.Builder
	out.Grow(len(s))
	parted := false
	put := func(r rune) {
		if parted && out.Len() > 0 {
			out.WriteByte(' ')
		}
		parted = false
		out.WriteRune(r)
	}
	for _, r := range strings.ToLower(s) {
		switch {
		case r == '\'' || r == '’':
		case r == '×': // the sign of a hybrid, a word of its own
			parted = true
			put('x')
			parted = true
		case (r < 'a' || r > 'z') && r < utf8.RuneSelf:
			parted = true
		default:
			put(r)
		}
	}
	return out.String()
}

// titleWords gives every word a capital.
func titleWords(s string) string {
	words := strings.Fields(s)
	for i, w := range words {
		first, size := utf8.DecodeRuneInString(w)
		words[i] = string(unicode.ToUpper(first)) + w[size:]
	}
	return strings.Join(words, " ")
}
