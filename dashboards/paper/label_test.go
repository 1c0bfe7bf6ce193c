package paper_test

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"bainward/dashboards/paper"
	"bainward/rules"
	"bainward/rules/batch/label"
	"bainward/rules/batch/shelf"
)

// ribwort is the label of an invented bottle of the invented Alder Yard.
func ribwort(units rules.Units, herb string) paper.Label {
	made := shelf.Day(2026, time.March, 1)
	return paper.Label{
		Bottle: "2026-03-01-north-1/3", Made: made,
		Label: label.Make(label.Batch{
			Number: "2026-03-01-north-1", Responsible: "Alder Yard, 1 Alder Lane, Alderton",
			Herbs: []label.Part{{Name: herb, Kg: 0.09}}, Oils: []label.Part{{Name: "sunflower", Kg: 0.7}, {Name: "olive", Kg: 0.2}},
			BottleKg: 0.0914, Units: units, GivenAway: true, Strength: "1 part of dry herb to 8.5 of oil",
			Keeps: shelf.Bottles{Made: made, OilBest: shelf.Day(2027, time.June, 30), Water: shelf.WaterGone},
		}),
	}
}

func sheetOf(t *testing.T, layout string, labels ...paper.Label) paper.LabelSheet {
	t.Helper()
	g, err := paper.LabelLayout(layout)
	if err != nil {
		t.Fatal(err)
	}
	return paper.LabelSheet{LabelGrid: g, Labels: labels, Dated: time.Date(2026, 3, 1, 17, 45, 0, 0, time.UTC), Program: "v0.3.1"}
}

func single(t *testing.T, size string, labels ...paper.Label) paper.LabelSheet {
	t.Helper()
	g, err := paper.SingleLabel(size)
	if err != nil {
		t.Fatal(err)
	}
	return paper.LabelSheet{LabelGrid: g, Labels: labels}
}

func drawn(t *testing.T, s paper.LabelSheet) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := paper.Labels(&out, s); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// wordsOf are the texts that must stand on a label.
func wordsOf(l paper.Label) []string {
	all := append([]string{l.Title, l.Function, l.Content.Text, l.Strength, l.Number, l.Responsible}, l.Short...)
	all = append(all, l.Ingredients...)
	if l.Mark.BestBefore {
		all = append(all, l.Mark.Text)
	}
	if !l.Made.IsZero() {
		all = append(all, "made "+l.Made.Format("2 January 2006"))
	}
	return all
}

type tester interface {
	Helper()
	Skipf(string, ...any)
	Fatalf(string, ...any)
}

// run gives data to a program of poppler, which is another reader of PDF than the
// library that wrote it.
func run(t tester, data []byte, program string, args ...string) []byte {
	t.Helper()
	cmd := exec.Command(program, args...)
	cmd.Stdin = bytes.NewReader(data)
	out, err := cmd.Output()
	if err != nil {
		if errors.Is(err, exec.ErrNotFound) && os.Getenv("CI") != "true" {
			t.Skipf("read the PDF: %v", err)
		}
		t.Fatalf("%s: %v", program, err)
	}
	return out
}

// squeezed is text without spaces and signs of direction, and with Arabic letters
// unjoined: where its lines end is not at issue.
func squeezed(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || unicode.Is(unicode.Cf, r) {
			return -1
		}
		return r
	}, norm.NFKC.String(s))
}

func readBack(t tester, pdf []byte) string {
	return squeezed(string(run(t, pdf, "pdftotext", "-raw", "-", "-")))
}

// Every part of a label can be read from the paper, on every size that is sold.
func TestEveryPartStandsOnTheLabel(t *testing.T) {
	for _, g := range paper.LabelLayouts() {
		t.Run(g.Name, func(t *testing.T) {
			l := ribwort(rules.US, "Plantago lanceolata, leaf")
			if g.Label.Height < 30 {
				l = ribwort(rules.Metric, "Plantago lanceolata, leaf") // one inch is too low for all of it
				l.Strength, l.Content = "", label.Content{Text: "50 ml", Needed: true, FigureMM: 2}
			}
			pdf := drawn(t, sheetOf(t, g.Name, l))
			text := readBack(t, pdf)
			for _, w := range wordsOf(l) {
				if !strings.Contains(text, squeezed(w)) {
					t.Errorf("%q is not on it:\n%s", w, text)
				}
			}
		})
	}
}
