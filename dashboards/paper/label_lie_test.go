package paper_test

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"bainward/dashboards/paper"
	"bainward/rules"
)

const dotsPerInch = 100

// pictures draws every page of a PDF as a printer would.
func pictures(t *testing.T, pdf []byte) []image.Image {
	t.Helper()
	dir := t.TempDir()
	run(t, pdf, "pdftoppm", "-r", fmt.Sprint(dotsPerInch), "-png", "-", filepath.Join(dir, "page"))
	names, err := filepath.Glob(filepath.Join(dir, "page*.png"))
	if err != nil || len(names) == 0 {
		t.Fatalf("no picture was drawn: %v", err)
	}
	var all []image.Image
	for _, name := range names { // in order, for their numbers have equally many digits
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		page, err := png.Decode(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, page)
	}
	return all
}

// inked counts, for each place of a page, the dark dots that lie at least margin mm
// inside it, and under -1 those that lie in no place.
func inked(page image.Image, g paper.LabelGrid, margin float64) map[int]int {
	dots := map[int]int{}
	for y := range page.Bounds().Dy() {
		for x := range page.Bounds().Dx() {
			if r, _, _, _ := page.At(x, y).RGBA(); r < 0xE000 {
				dots[placeOf(g, (float64(x)+0.5)*25.4/dotsPerInch, (float64(y)+0.5)*25.4/dotsPerInch, margin)]++
			}
		}
	}
	return dots
}

func placeOf(g paper.LabelGrid, x, y, margin float64) int {
	for n := range g.Across * g.Down {
		left := g.Left + float64(n%g.Across)*(g.Label.Width+g.GapX)
		top := g.Top + float64(n/g.Across)*(g.Label.Height+g.GapY)
		if x >= left+margin && x <= left+g.Label.Width-margin && y >= top+margin && y <= top+g.Label.Height-margin {
			return n
		}
		for _, cornerX := range []float64{left, left + g.Label.Width} {
			for _, cornerY := range []float64{top, top + g.Label.Height} {
				if max(abs(x-cornerX), abs(y-cornerY)) < 1.2 { // a mark for cutting
					return -2
				}
			}
		}
	}
	return -1
}

func abs(x float64) float64 { return max(x, -x) }

// The ink of each label lies inside its own place with room around it, places
// that are used up stay empty, and so does what comes after the last.
func TestEachLabelLiesInItsOwnPlace(t *testing.T) {
	for _, g := range paper.LabelLayouts()[1:] {
		t.Run(g.Name, func(t *testing.T) {
			labels := make([]paper.Label, g.Across*g.Down) // with the skipped ones, two pages
			for i := range labels {
				labels[i] = ribwort(rules.Metric, "Calendula officinalis, flower")
			}
			s := sheetOf(t, g.Name, labels...)
			s.Skip = 3
			pages := pictures(t, drawn(t, s))
			if len(pages) != 2 {
				t.Fatalf("%d pages, want 2", len(pages))
			}
			for i, page := range pages {
				dots := inked(page, g, 1.6)
				if dots[-1] > 0 {
					t.Errorf("page %d: %d dots lie outside of all labels", i+1, dots[-1])
				}
				if dots[-2] == 0 {
					t.Errorf("page %d has no marks for cutting", i+1)
				}
				for n := range g.Across * g.Down {
					if want := i == 0 && n >= 3 || i == 1 && n < 3; want != (dots[n] > 0) {
						t.Errorf("page %d, place %d: %d dots, want some: %t", i+1, n+1, dots[n], want)
					}
				}
			}
		})
	}
}

// A single label has its page for itself, without marks, and no ink at its edge.
func TestASingleLabelIsThePage(t *testing.T) {
	one := ribwort(rules.Metric, "Plantago lanceolata, leaf")
	s := single(t, "60x40", one, one)
	pages := pictures(t, drawn(t, s))
	if len(pages) != 2 {
		t.Fatalf("%d pages, want 2", len(pages))
	}
	for i, page := range pages {
		dots := inked(page, s.LabelGrid, 1.2)
		if dots[0] == 0 || dots[-1]+dots[-2] > 0 {
			t.Errorf("page %d: dots %v", i+1, dots)
		}
		if w, want := page.Bounds().Dx(), 60/25.4*dotsPerInch; abs(float64(w)-want) > 1.5 {
			t.Errorf("page %d is %d dots wide, want %.0f", i+1, w, want)
		}
	}
}
