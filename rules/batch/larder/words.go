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
	s = strings.NewReplacer("'", "", "’", "", "×", " x ").Replace(strings.ToLower(s))
	return strings.Join(strings.FieldsFunc(s, func(r rune) bool { return (r < 'a' || r > 'z') && r < 0x80 }), " ")
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
