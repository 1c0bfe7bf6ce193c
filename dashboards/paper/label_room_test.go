package paper_test

import (
	"bytes"
	"errors"
	"slices"
	"strings"
	"testing"

	"bainward/dashboards/paper"
	"bainward/rules"
)

func refused(t *testing.T, s paper.LabelSheet) *paper.NoRoomError {
	t.Helper()
	var out bytes.Buffer
	err := paper.Labels(&out, s)
	var noRoom *paper.NoRoomError
	if !errors.As(err, &noRoom) {
		t.Fatalf("got %v, want that there is no room", err)
	}
	if out.Len() > 0 {
		t.Errorf("%d bytes were written", out.Len())
	}
	return noRoom
}

// A label that is too small is refused with its size, what takes the room, and the
// smallest sheet that holds it; that sheet does hold it, and no smaller one.
func TestATooSmallLabelIsRefused(t *testing.T) {
	l := ribwort(rules.Metric, "Calendula officinalis, flower")
	e := refused(t, single(t, "45x30", l))
	for _, want := range []string{"label of 2026-03-01-north-1/3", "45 × 30 mm", "4.8 pt", "most of it for cautions (", "nothing is cut off", "63.5x38.1 on A4"} {
		if !strings.Contains(e.Error(), want) {
			t.Errorf("%q is not in: %s", want, e)
		}
	}
	holds := ""
	for _, g := range paper.LabelLayouts() {
		var out bytes.Buffer
		if err := paper.Labels(&out, paper.LabelSheet{LabelGrid: g, Labels: []paper.Label{l}}); err == nil {
			holds = g.String()
			break
		}
	}
	if e.Larger != holds {
		t.Errorf("it names %q, the smallest that holds it is %q", e.Larger, holds)
	}
}

// A sheet of one page's paper is not advised for the other's.
func TestTheAdviceStaysWithThePaper(t *testing.T) {
	l := ribwort(rules.US, "Calendula officinalis, flower")
	if e := refused(t, sheetOf(t, "2.625x1in", l)); e.Larger != "4x2in on Letter" {
		t.Errorf("it names %q", e.Larger)
	}
	g, err := paper.SmallestLayout(paper.Letter(), []paper.Label{l}, nil)
	if err != nil || g.Name != "4x2in" {
		t.Errorf("the smallest is %q, %v", g.Name, err)
	}
}

// Where the last caution does not fit, the label is refused: none is dropped.
func TestNoCautionIsDropped(t *testing.T) {
	l := ribwort(rules.Metric, "Calendula officinalis, flower")
	l.Short = append(slices.Repeat(l.Short, 16), "POISON.")
	e := refused(t, sheetOf(t, "105x74", l))
	if e.Larger != "" || !strings.Contains(e.Error(), "no sheet of labels holds it: shorten") {
		t.Errorf("said: %s", e)
	}
	if text := readBack(t, drawn(t, single(t, "200x200", l))); !strings.Contains(text, "POISON.") {
		t.Error(text)
	}
}

// A word that is wider than the label is named, for no word is torn.
func TestNoWordIsTorn(t *testing.T) {
	l := ribwort(rules.Metric, "Plantago lanceolata, leaf")
	l.Title = "Gartenringelblumenblütenölauszugmischung"
	if e := refused(t, single(t, "30x200", l)); e.Word != l.Title || !strings.Contains(e.Error(), `"`+l.Title+`" is wider than it`) {
		t.Errorf("said: %s", e)
	}
}

// The smallest type has letters x of 0.9 mm, and of 1.2 mm where a label has 80
// cm² and more (Regulation (EU) No 1169/2011, Article 13(2) and (3)). An x of
// Liberation Sans is 1082 of 2048 units high (its table OS/2).
func TestTypeStaysLegible(t *testing.T) {
	const x = 1082.0 / 2048 * 25.4 / 72 // mm a point
	for size, want := range map[string]float64{"40x30": 0.9, "199x40": 0.9, "200x41": 1.2} {
		l := ribwort(rules.Metric, "Calendula officinalis, flower")
		l.Short = slices.Repeat(l.Short, 30)
		if got := refused(t, single(t, size, l)).Points * x; got < want-1e-3 || got > want+0.01 {
			t.Errorf("%s: an x is %.3f mm high, want %g", size, got, want)
		}
	}
}

// What lies on no page, or on a page that has no such place, is refused.
func TestImpossibleSheetsAreRefused(t *testing.T) {
	l := ribwort(rules.Metric, "Plantago lanceolata, leaf")
	for want, change := range map[string]func(*paper.LabelSheet){
		"there are none to draw":        func(s *paper.LabelSheet) { s.Labels = nil },
		"has 24 places, so 0 to 23 can": func(s *paper.LabelSheet) { s.Skip = 24 },
		"labels: skip -1":               func(s *paper.LabelSheet) { s.Skip = -1 },
		"reach over a page":             func(s *paper.LabelSheet) { s.Across = 4 },
		"are none":                      func(s *paper.LabelSheet) { s.Down = 0 },
	} {
		s := sheetOf(t, "70x37", l)
		change(&s)
		var out bytes.Buffer
		if err := paper.Labels(&out, s); err == nil || !strings.Contains(err.Error(), want) || out.Len() > 0 {
			t.Errorf("got %v, want %q", err, want)
		}
	}
}
