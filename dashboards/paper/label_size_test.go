package paper_test

import (
	"math"
	"strings"
	"testing"

	"bainward/dashboards/paper"
)

// Every sheet lies centred on its page, and its labels fill no more than that.
func TestLayoutsAreCentred(t *testing.T) {
	all := paper.LabelLayouts()
	if len(all) == 0 {
		t.Fatal("there are no layouts")
	}
	area := 0.0
	for _, g := range all {
		right := g.Page.Width - g.Left - float64(g.Across)*(g.Label.Width+g.GapX) + g.GapX
		bottom := g.Page.Height - g.Top - float64(g.Down)*(g.Label.Height+g.GapY) + g.GapY
		if math.Abs(right-g.Left) > 1e-9 || math.Abs(bottom-g.Top) > 1e-9 || g.Left < 0 || g.Top < 0 {
			t.Errorf("%s: left %g, right %g, top %g, bottom %g mm", g.Name, g.Left, right, g.Top, bottom)
		}
		if a := g.Label.Width * g.Label.Height; a < area {
			t.Errorf("%s stands after a larger one", g.Name)
		} else {
			area = a
		}
	}
}

// A size may be written as people write it.
func TestSizesAreReadAsPeopleWriteThem(t *testing.T) {
	for _, written := range []string{"70x37", "70 × 37 mm", "70X37"} {
		if g, err := paper.LabelLayout(written); err != nil || g.Across != 3 || g.Down != 8 || g.Page != paper.A4() {
			t.Errorf("%q: %+v, %v", written, g, err)
		}
	}
	g, err := paper.SingleLabel("4x2in")
	if err != nil || math.Abs(g.Label.Width-101.6) > 1e-9 || math.Abs(g.Label.Height-50.8) > 1e-9 || g.Page != g.Label {
		t.Errorf("4x2in: %+v, %v", g, err)
	}
}

// A size that there is not is refused with those that there are.
func TestUnknownSizesAreRefused(t *testing.T) {
	_, err := paper.LabelLayout("80x40")
	for _, want := range append(names(), `"80x40"`, "single") {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want %q in it", err, want)
		}
	}
	for size, want := range map[string]string{
		"":         "want width and height in mm, such as 60x40",
		"60":       "want width and height in mm, such as 60x40",
		"sixtyx40": "want width and height in mm, such as 60x40",
		"60x24":    "each side must be from 25 to 200 mm",
		"NaNx40":   "each side must be from 25 to 200 mm",
		"60x1e9":   "each side must be from 25 to 200 mm",
	} {
		if _, err := paper.SingleLabel(size); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, want %q", size, err, want)
		}
	}
}

func names() (all []string) {
	for _, g := range paper.LabelLayouts() {
		all = append(all, g.Name+" on ")
	}
	return all
}
