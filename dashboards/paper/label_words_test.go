package paper_test

import (
	"bytes"
	"errors"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bainward/dashboards/paper"
	"bainward/rules"
	"bainward/rules/batch/label"
	"bainward/rules/batch/shelf"
)

// arabicFont is a typeface with Arabic letters, which comes with the PDF library.
func arabicFont(t *testing.T) string {
	t.Helper()
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/go-pdf/fpdf").Output()
	if err != nil {
		t.Fatal(err)
	}
	return filepath.Join(strings.TrimSpace(string(dir)), "font", "DejaVuSansCondensed.ttf")
}

// Names that are written from right to left, or in other letters, can be read from
// the paper, word by word.
func TestNamesInOtherScriptsAreDrawn(t *testing.T) {
	for script, name := range map[string]string{
		"Hebrew":   "לחך איטלקי",
		"Arabic":   "لسان الحمل",
		"Greek":    "αρνόγλωσσο λογχοειδές",
		"Cyrillic": "подорожник ланцетный",
	} {
		t.Run(script, func(t *testing.T) {
			l := ribwort(rules.Metric, "Plantago lanceolata, leaf")
			l.Title, l.Ingredients = name, append(l.Ingredients, name)
			s := sheetOf(t, "70x37", l)
			if script == "Arabic" {
				s.Fonts = []string{arabicFont(t)}
			}
			text := readBack(t, drawn(t, s))
			for word := range strings.FieldsSeq(name) {
				if got := strings.Count(text, word); got != 2 {
					t.Errorf("%s stands %d times on it, want 2:\n%s", word, got, text)
				}
			}
		})
	}
}

// A letter that no typeface has is refused, with its script and the text it stands
// in, and nothing is written.
func TestLettersWithoutAFontAreRefused(t *testing.T) {
	l := ribwort(rules.Metric, "Plantago lanceolata, leaf")
	l.Title = "لسان الحمل"
	var out bytes.Buffer
	err := paper.Labels(&out, sheetOf(t, "70x37", l))
	var letter *paper.LetterError
	if !errors.As(err, &letter) || letter.Script != "Arabic" || letter.Text != l.Title {
		t.Errorf("got %v", err)
	}
	if out.Len() > 0 {
		t.Errorf("%d bytes were written", out.Len())
	}
}

// Beyond 30 months the period after opening stands on the label, in words, and no
// date (Regulation (EC) No 1223/2009, Article 19(1)(c)).
func TestWhatKeepsLongTellsHowLongOnceOpened(t *testing.T) {
	l := ribwort(rules.Metric, "Plantago lanceolata, leaf")
	l.Mark = shelf.MarkFor(l.Made, shelf.Day(2029, time.March, 1), 0)
	text := readBack(t, drawn(t, sheetOf(t, "70x37", l)))
	if !strings.Contains(text, squeezed("Use within 6 months of opening.")) || strings.Contains(text, "2029") {
		t.Error(text)
	}
}

// Of what is not known nothing is printed, not even the words before it.
func TestWhatIsNotKnownIsLeftOut(t *testing.T) {
	l := paper.Label{Label: label.Label{Title: "calendula oil"}}
	if text := readBack(t, drawn(t, single(t, "60x40", l))); text != "calendulaoil" {
		t.Errorf("on it stands %q", text)
	}
}

// The same labels give the same bytes, in whatever zone their time is told.
func TestTheSameLabelsGiveTheSameBytes(t *testing.T) {
	s := sheetOf(t, "99.1x57", ribwort(rules.Metric, "Plantago lanceolata, leaf"))
	first := drawn(t, s)
	s.Dated = s.Dated.In(time.FixedZone("", 14*3600))
	if !bytes.Equal(first, drawn(t, s)) {
		t.Error("the bytes differ")
	}
	s.Dated = s.Dated.Add(time.Second)
	if bytes.Equal(first, drawn(t, s)) {
		t.Error("another date gives the same bytes: this test cannot fail")
	}
}
