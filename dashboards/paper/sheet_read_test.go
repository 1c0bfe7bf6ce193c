package paper_test

import (
	"encoding/xml"
	"regexp"
	"strings"
	"testing"

	"bainward/dashboards/paper"
)

// asPrinted is the text of a PDF, each line of the paper on a line.
func asPrinted(t tester, pdf []byte) string {
	t.Helper()
	return string(run(t, pdf, "pdftotext", "-layout", "-", "-"))
}

// stands tells whether one line of text has all fields, which are parted by " | ",
// in that order and with nothing between them.
func stands(text, fields string) bool {
	var parts []string
	for field := range strings.SplitSeq(fields, " | ") {
		parts = append(parts, strings.ReplaceAll(regexp.QuoteMeta(field), " ", `\s*`))
	}
	return regexp.MustCompile(`(?m)(?:^|\s)` + strings.Join(parts, `[ \t]+`) + `(?:\s|$)`).MatchString(text)
}

// printedPage is a page as poppler's "pdftotext -bbox" tells of it, in points.
type printedPage struct {
	Width  float64       `xml:"width,attr"`
	Height float64       `xml:"height,attr"`
	Words  []printedWord `xml:"word"`
}

type printedWord struct {
	Left   float64 `xml:"xMin,attr"`
	Top    float64 `xml:"yMin,attr"`
	Right  float64 `xml:"xMax,attr"`
	Bottom float64 `xml:"yMax,attr"`
	Text   string  `xml:",chardata"`
}

func printedPages(t tester, pdf []byte) []printedPage {
	t.Helper()
	var document struct {
		Pages []printedPage `xml:"body>doc>page"`
	}
	out := run(t, pdf, "pdftotext", "-bbox", "-", "-")
	if err := xml.Unmarshal(out, &document); err != nil {
		t.Fatalf("read the places of words: %v", err)
	}
	if len(document.Pages) == 0 {
		t.Fatalf("no page has come:\n%s", out)
	}
	return document.Pages
}

// pointsPerMM is 72 to the inch of 25.4 mm (ISO 32000-1, 8.3.2.3).
const pointsPerMM = 72 / 25.4

// strayed returns a word that leaves the margins of its page, mm, or "".
func (p printedPage) strayed(left, right, top, bottom float64) string {
	for _, w := range p.Words {
		if w.Left < left*pointsPerMM || w.Right > p.Width-float64(right*pointsPerMM) || w.Top < top*pointsPerMM || w.Bottom > p.Height-float64(bottom*pointsPerMM) {
			return w.Text
		}
	}
	return ""
}

// collision returns two words that are printed over each other, or "". Of the
// height of a word only the middle half counts: poppler gives the height of the
// tallest letters, with accents and tails.
func (p printedPage) collision() string {
	for i, a := range p.Words {
		for _, b := range p.Words[i+1:] {
			const touch = 0.5 // points
			quarterA, quarterB := (a.Bottom-a.Top)/4, (b.Bottom-b.Top)/4
			if min(a.Right, b.Right)-max(a.Left, b.Left) > touch && min(a.Bottom-quarterA, b.Bottom-quarterB)-max(a.Top+quarterA, b.Top+quarterB) > 0 {
				return a.Text + " and " + b.Text
			}
		}
	}
	return ""
}

// Each page of the usual sheets keeps its words inside the margins, a hand's
// breadth of holes at the left included, and none lies over another.
func TestWordsKeepTheirPlaces(t *testing.T) {
	for name, s := range map[string]paper.BatchSheet{"A4": yard(), "Letter": american()} {
		t.Run(name, func(t *testing.T) {
			pages := printedPages(t, drawnSheet(t, s))
			if len(pages) != 2 {
				t.Errorf("a usual batch takes %d pages, want 2", len(pages))
			}
			for i, p := range pages {
				if w := p.strayed(17.9, 11.9, 10, 5); w != "" {
					t.Errorf("page %d: %q stands in the margin", i+1, w)
				}
				if w := p.collision(); w != "" {
					t.Errorf("page %d: %s lie over each other", i+1, w)
				}
			}
		})
	}
}

// No ink, of lines and boxes as well, comes nearer to the edge of a page than
// printers reach and holes need, and every page has some.
func TestInkStaysInsideTheMargins(t *testing.T) {
	for name, s := range map[string]paper.BatchSheet{"A4": yard(), "Letter": american()} {
		t.Run(name, func(t *testing.T) {
			for i, page := range pictures(t, drawnSheet(t, s)) {
				inside, outside := 0, 0
				const left, right, top, bottom = 17.5, 11.5, 11.0, 6.0 // mm
				size := page.Bounds()
				for y := range size.Dy() {
					for x := range size.Dx() {
						if r, _, _, _ := page.At(x, y).RGBA(); r >= 0xE000 {
							continue
						}
						mmX, mmY := float64(x)*25.4/dotsPerInch, float64(y)*25.4/dotsPerInch
						if mmX < left || mmX > float64(size.Dx())*25.4/dotsPerInch-right || mmY < top || mmY > float64(size.Dy())*25.4/dotsPerInch-bottom {
							outside++
							continue
						}
						inside++
					}
				}
				if outside > 0 || inside < 1000 {
					t.Errorf("page %d: %d dots of ink inside the margins, %d outside", i+1, inside, outside)
				}
			}
		})
	}
}
