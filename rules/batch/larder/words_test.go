package larder

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Plain words are what the functions of package strings make of a name one after
// the other; the loop only does it in one go.
func TestPlainWordsAreLettersAndSingleSpaces(t *testing.T) {
	letters := rapid.StringOfN(rapid.SampledFrom([]rune("aZé '’×.,-(\t3ß")), 0, 24, -1)
	rapid.Check(t, func(t *rapid.T) {
		s := letters.Draw(t, "name")
		plain := strings.NewReplacer("'", "", "’", "", "×", " x ").Replace(strings.ToLower(s))
		want := strings.Join(strings.FieldsFunc(plain, func(r rune) bool { return (r < 'a' || r > 'z') && r < 0x80 }), " ")
		if got := plainWords(s); got != want {
			t.Errorf("%q: got %q, want %q", s, got, want)
		}
	})
}
