package paper_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bainward/dashboards/paper"
	"bainward/rules/batch/label"
	"bainward/rules/batch/shelf"
)

// anyText draws words of Latin, Greek and Cyrillic letters, and now and then of
// letters that are not to be had.
func anyText(t *rapid.T, name string, words int) string {
	word := rapid.StringOfN(rapid.RuneFrom([]rune("abcdefghijklmnoprstuvzäéøŁčABDEGKMW0123456789()'.:%&αβγωΑΩбдяЖЮ")), 1, 14, -1)
	odd := rapid.SampledFrom([]string{"हर", "\x00", "𝛼", "\xff"})
	all := rapid.SliceOfN(word, 0, words).Draw(t, name)
	if rapid.IntRange(0, 99).Draw(t, name+" is odd") == 99 {
		all = append(all, odd.Draw(t, name+", odd"))
	}
	return strings.Join(all, " ")
}

func anyLabel(t *rapid.T) paper.Label {
	texts := func(name string, most int) (all []string) {
		for i := range rapid.IntRange(0, most).Draw(t, name) {
			all = append(all, anyText(t, fmt.Sprint(name, i), 8))
		}
		return all
	}
	return paper.Label{Label: label.Label{
		Title: anyText(t, "title", 6), Function: anyText(t, "function", 4), Strength: anyText(t, "strength", 6),
		Ingredients: texts("ingredients", 8), Short: texts("cautions", 8),
		Content: label.Content{Text: anyText(t, "content", 3), Needed: rapid.Bool().Draw(t, "needed"), FigureMM: rapid.SampledFrom([]float64{2, 3, 4, 6}).Draw(t, "figure")},
		Mark:    shelf.Mark{BestBefore: true, Text: anyText(t, "mark", 6)},
		Number:  anyText(t, "number", 1), Responsible: anyText(t, "maker", 8),
	}}
}

// Any label either stands on the paper with every word of it, or is refused and
// nothing is written.
func TestAnyLabelIsWholeOrRefused(t *testing.T) {
	whole, not := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		l := anyLabel(t)
		g, err := paper.SingleLabel(fmt.Sprintf("%dx%d", rapid.IntRange(25, 200).Draw(t, "width"), rapid.IntRange(25, 200).Draw(t, "height")))
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		if err := paper.Labels(&out, paper.LabelSheet{LabelGrid: g, Labels: []paper.Label{l}}); err != nil {
			not++
			if out.Len() > 0 {
				t.Fatalf("refused, and yet %d bytes were written: %v", out.Len(), err)
			}
			return
		}
		whole++
		text := readBack(t, out.Bytes())
		for _, w := range wordsOf(l) {
			if !strings.Contains(text, squeezed(w)) {
				t.Fatalf("%q is not on it:\n%s", w, text)
			}
		}
	})
	if whole == 0 || not == 0 {
		t.Errorf("%d were drawn and %d refused: this test cannot fail", whole, not)
	}
	t.Logf("%d were drawn, %d refused", whole, not)
}
