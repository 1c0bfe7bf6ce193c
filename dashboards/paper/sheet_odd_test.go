package paper_test

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"bainward/dashboards/paper"
)

// everyNumber sets all float64 fields of a value to x, deep down.
func everyNumber(v reflect.Value, x float64) {
	switch v.Kind() {
	case reflect.Float64:
		v.SetFloat(x)
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[time.Time]() || v.Type() == reflect.TypeFor[paper.Size]() {
			return
		}
		for _, field := range v.Fields() {
			everyNumber(field, x)
		}
	case reflect.Slice:
		for i := range v.Len() {
			everyNumber(v.Index(i), x)
		}
	}
}

// A sheet in which no number is known is drawn, with all its words and without a
// figure that nobody measured.
func TestNumbersThatAreNoneAreNotPrinted(t *testing.T) {
	for name, x := range map[string]float64{"NaN": math.NaN(), "zero": 0, "endless": math.Inf(1), "endless below": math.Inf(-1)} {
		t.Run(name, func(t *testing.T) {
			s := american()
			everyNumber(reflect.ValueOf(&s).Elem(), x)
			pdf := drawnSheet(t, s)
			for _, word := range []string{"NaN", "Inf", "e+", "-9223372036854775808"} {
				if text := asPrinted(t, pdf); strings.Contains(text, word) {
					t.Errorf("it says %q:\n%s", word, text)
				}
			}
			if text := asPrinted(t, pdf); !stands(text, "Verdict: short | Hottest oil: not known") {
				t.Errorf("the hottest oil of nobody is known:\n%s", text)
			}
			if raw := readBack(t, pdf); !strings.Contains(raw, squeezed(s.Deviations[0].Explanation)) {
				t.Error("the explanation is gone")
			}
		})
	}
}

// A batch without readings is drawn, and its marks are listed in their turn.
func TestABatchWithoutReadings(t *testing.T) {
	s := yard()
	s.Trace.Points = nil
	text := asPrinted(t, drawnSheet(t, s))
	if !stands(text, "No readings.") {
		t.Errorf("nothing says so:\n%s", text)
	}
}

// Two hundred marks and sixty materials stand on the sheet one by one, inside the
// margins, and the sheet says that it has more pages than usual.
func TestACrowdedBatchLosesNothing(t *testing.T) {
	s := american()
	s.Trace.Marks, s.Materials = nil, nil
	for i := range 200 {
		s.Trace.Marks = append(s.Trace.Marks, paper.Mark{At: time.Duration(i) * 90 * time.Second, Alarm: i%3 == 0, Text: fmt.Sprintf("mark-%03d.", i)})
		s.Deeds = append(s.Deeds, paper.Deed{At: s.Made.Add(time.Duration(i) * 90 * time.Second), What: fmt.Sprintf("deed-%03d.", i), Who: "Robin"})
	}
	for i := range 60 {
		s.Materials = append(s.Materials, paper.Material{Name: fmt.Sprintf("material-%02d.", i), Lot: fmt.Sprintf("lot-%02d.", i), Kg: 0.1})
	}
	pdf := drawnSheet(t, s)
	pages := printedPages(t, pdf)
	if text := asPrinted(t, pdf); !strings.Contains(text, fmt.Sprintf("This sheet has %d pages, more than usual.", len(pages))) {
		t.Errorf("%d pages, and nothing says so", len(pages))
	}
	raw := readBack(t, pdf)
	for i := range 200 {
		for _, want := range []string{fmt.Sprintf("mark-%03d.", i), fmt.Sprintf("deed-%03d.Robin", i)} {
			if n := strings.Count(raw, want); n != 1 {
				t.Errorf("%q stands on it %d times", want, n)
			}
		}
	}
	for i := range 60 {
		if want := fmt.Sprintf("material-%02d.lot-%02d.3.5oz", i, i); !strings.Contains(raw, want) {
			t.Errorf("%q is not on it", want)
		}
	}
	for i, p := range pages {
		if w := p.strayed(17.9, 11.9, 10, 5); w != "" {
			t.Errorf("page %d: %q stands in the margin", i+1, w)
		}
		if w := p.collision(); w != "" {
			t.Errorf("page %d: %s lie over each other", i+1, w)
		}
	}
}

// What cannot be a sheet is refused with the reason, and nothing is written.
func TestASheetThatCannotBeIsRefused(t *testing.T) {
	for name, one := range map[string]struct {
		change func(*paper.BatchSheet)
		want   string
	}{
		"a label": {func(s *paper.BatchSheet) { s.Page = paper.Size{Width: 60, Height: 40} },
			`draw sheet of batch "2026-03-01-north-1": a page of 60 × 40 mm: want A4 or Letter`},
		"no width": {func(s *paper.BatchSheet) { s.Page = paper.Size{Height: 297} }, "want A4 or Letter"},
		"no number": {func(s *paper.BatchSheet) { s.Page = paper.Size{Width: math.NaN(), Height: 297} },
			"want A4 or Letter"},
		"a page as wide as a house": {func(s *paper.BatchSheet) { s.Page = paper.Size{Width: 1e4, Height: 297} }, "want A4 or Letter"},
		"a number without end": {func(s *paper.BatchSheet) { s.Number = strings.Repeat("9", 1e4) },
			"the batch number has 10000 letters, at most 200 have room on every page"},
		"a version without end": {func(s *paper.BatchSheet) { s.Program = strings.Repeat("9", 1e4) },
			"the version of the program has 10000 letters"},
		"a control character":         {func(s *paper.BatchSheet) { s.Deeds[0].What = "bell \a" }, "a control character has no shape; take it out"},
		"a version that is not UTF-8": {func(s *paper.BatchSheet) { s.Program = "v\xff" }, "the text is not UTF-8"},
		"not UTF-8":                   {func(s *paper.BatchSheet) { s.Deeds[0].What = "\xff" }, "the text is not UTF-8; enter it again"},
	} {
		t.Run(name, func(t *testing.T) {
			s := yard()
			one.change(&s)
			var out bytes.Buffer
			err := paper.Sheet(&out, s)
			if err == nil || !strings.Contains(err.Error(), one.want) {
				t.Errorf("error %v, want %q", err, one.want)
			}
			if out.Len() > 0 {
				t.Errorf("left %d bytes behind", out.Len())
			}
			if err != nil && len(err.Error()) > 500 {
				t.Errorf("the error has %d letters", len(err.Error()))
			}
		})
	}
}

type full struct{}

var errFull = errors.New("no space left on device")

func (full) Write([]byte) (int, error) { return 0, errFull }

// A disk that is full is an error, not half a sheet that nobody was told of.
func TestAFullDiskIsTold(t *testing.T) {
	if err := paper.Sheet(full{}, yard()); !errors.Is(err, errFull) {
		t.Errorf("error %v, want %v in it", err, errFull)
	}
}

// Where nobody wrote down a deviation, controls that were not met are pointed at.
func TestUnmetControlsAreNoCleanSheet(t *testing.T) {
	s := yard()
	s.Deviations = nil
	for unmet, want := range []string{"None.", "None entered, though 1 control on the way was not met.", "None entered, though 2 controls on the way were not met."} {
		for i := range s.Controls {
			s.Controls[i].Met = i >= unmet
		}
		if raw := readBack(t, drawnSheet(t, s)); !strings.Contains(raw, squeezed("the recipe "+want)) {
			t.Errorf("%d not met: it does not say %q", unmet, want)
		}
	}
}

// A place that nobody entered is left out of the sentence.
func TestASentenceWithoutItsPlace(t *testing.T) {
	s := yard()
	s.Site, s.Bath = "", ""
	if text := asPrinted(t, drawnSheet(t, s)); !stands(text, "Made on 2026-03-01. Times are UTC+01:00.") {
		t.Errorf("it reads\n%s", text)
	}
}
