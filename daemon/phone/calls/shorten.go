package calls

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// The sizes of a notice, in characters: what a lock screen shows.
const (
	titleSize = 40
	textSize  = 180
)

const cutMark = "…"

// words cuts text to at most n characters, after a whole word.
func words(text string, n int) string {
	text = strings.TrimSpace(text)
	if utf8.RuneCountInString(text) <= n {
		return text
	}
	room := n - utf8.RuneCountInString(cutMark)
	if room <= 0 {
		return ""
	}
	head := string([]rune(text)[:room])
	// A word that ends just here is whole.
	if next := []rune(text)[room]; !unicode.IsSpace(next) {
		if space := strings.LastIndexFunc(head, unicode.IsSpace); space > 0 {
			head = head[:space]
		}
	}
	return strings.TrimRight(head, " ,;:·") + cutMark
}

// sentences cuts text to at most n characters, after a whole sentence: half of
// "pour no water in" is the wrong advice. It is empty if not even the first
// sentence has room.
func sentences(text string, n int) string {
	var kept string
	for rest := strings.TrimSpace(text); rest != ""; {
		var s string
		s, rest = firstSentence(rest)
		longer := joined(kept, s)
		if utf8.RuneCountInString(longer) > n {
			break
		}
		kept = longer
	}
	return kept
}

// firstSentence cuts the first sentence off: it ends with a stop, an exclamation
// or a question mark before a space, so that "99.6 °C" stays in one piece.
func firstSentence(text string) (first, rest string) {
	for i, r := range text {
		if !strings.ContainsRune(".!?", r) {
			continue
		}
		end := i + utf8.RuneLen(r)
		if end == len(text) || text[end] == ' ' {
			return text[:end], strings.TrimSpace(text[end:])
		}
	}
	return text, ""
}

// sentence makes a sentence of a phrase.
func sentence(phrase string) string {
	phrase = strings.TrimSpace(phrase)
	if phrase == "" {
		return ""
	}
	first, size := utf8.DecodeRuneInString(phrase)
	s := string(unicode.ToUpper(first)) + phrase[size:]
	if strings.HasSuffix(s, ".") || strings.HasSuffix(s, "!") || strings.HasSuffix(s, "?") || strings.HasSuffix(s, cutMark) {
		return s
	}
	return s + "."
}
