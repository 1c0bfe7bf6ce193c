package paper_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"bainward/dashboards/paper"
	"bainward/rules"
)

func drawnSheet(t tester, s paper.BatchSheet) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := paper.Sheet(&out, s); err != nil {
		t.Fatalf("draw: %v", err)
	}
	return out.Bytes()
}

// american is the yard's batch as people of the USA read it.
func american() paper.BatchSheet {
	s := yard()
	s.Page, s.Units = paper.Letter(), rules.US
	return s
}

// mustRead fails for each text that cannot be read from a sheet, wherever its lines
// end. It reads column by column as they were drawn.
func mustRead(t *testing.T, pdf []byte, want ...string) {
	t.Helper()
	text := readBack(t, pdf)
	for _, w := range want {
		if !strings.Contains(text, squeezed(w)) {
			t.Errorf("%q is not on the sheet", w)
		}
	}
}

// entered are the texts of a sheet that somebody entered, which no sheet may lose.
func entered(s paper.BatchSheet) []string {
	all := []string{s.Number, s.Product, s.Site, s.Bath, s.Program, s.Verdict, s.Recipe.Name, s.Recipe.Herb, s.Recipe.Oil, s.Record.File, s.MadeBy.Name, s.ReviewedBy.Name}
	all = append(append(all, s.Equipment...), s.Strength...)
	for _, m := range s.Materials {
		all = append(all, m.Name, m.Lot, m.Released)
	}
	for _, p := range s.Probes {
		all = append(all, p.Role, p.Address)
	}
	for _, c := range s.Checks {
		all = append(all, c.What, c.By)
	}
	for _, m := range s.Macerations {
		all = append(all, m.Herb, m.Verdict)
	}
	for _, c := range s.Controls {
		all = append(all, c.What, c.Limit, c.Found)
	}
	for _, m := range s.Trace.Marks {
		all = append(all, m.Text)
	}
	for _, a := range s.Alarms {
		all = append(all, a.Name, a.Priority, a.By)
	}
	for _, d := range s.Deviations {
		all = append(all, d.What, d.Explanation, d.By)
	}
	for _, b := range s.Balance {
		all = append(all, b.What)
	}
	for _, b := range s.Bottles {
		all = append(all, b.Place)
	}
	for _, c := range s.Cautions {
		all = append(all, c.About, c.Text, c.Source)
	}
	for _, d := range s.Deeds {
		all = append(all, d.What, d.Who)
	}
	return all
}

// Everything that was entered stands on the sheet, on either paper, and a usual
// batch fills two pages.
func TestEverythingEnteredStandsOnTheSheet(t *testing.T) {
	for name, s := range map[string]paper.BatchSheet{"A4": yard(), "Letter": american()} {
		t.Run(name, func(t *testing.T) {
			pdf := drawnSheet(t, s)
			mustRead(t, pdf, entered(s)...)
			if n := pages(t, pdf); n != 2 {
				t.Errorf("it has %d pages", n)
			}
		})
	}
}

func pages(t tester, pdf []byte) int {
	t.Helper()
	return bytes.Count(run(t, pdf, "pdftotext", "-", "-"), []byte("\f")) // one ends each page
}

// Figures stand on the sheet in the units of its readers.
func TestFiguresAreInTheUnitsOfTheReader(t *testing.T) {
	mustRead(t, drawnSheet(t, yard()),
		"Hottest oil: 95.1 °C", "220 g", "736 g", "800 ml", "250 mm", "± 0.31 °C", "2 h 04 min", "1 h 36 min", "100 ml", "92 g", "86.0 %",
		"Alarms: 3", "Deviations: 2", "Times are UTC+01:00", "4 g (0.5 %)")
	mustRead(t, drawnSheet(t, american()),
		"Hottest oil: 203.2 °F", "7.8 oz", "1 lb 10.0 oz", "27 fl oz", "9.8 in", "± 0.56 °F", "3.4 fl oz (100 ml)", "3.2 oz", "27.0 °F below")
}

// What nobody entered is printed as that, and nothing is made up for it.
func TestWhatNobodyEnteredIsSaid(t *testing.T) {
	pdf := drawnSheet(t, paper.BatchSheet{})
	mustRead(t, pdf, "Batch number not entered", "Verdict: not entered", "Hottest oil: not known", "No readings.", "not recorded",
		"Materials weighed in not entered", "Alarms None.", "Deviations from the recipe None.", "reviewed by")
	s := yard()
	s.Deviations[0].Explanation, s.Alarms[0].Acknowledged = "", s.Times.Held // zero
	mustRead(t, drawnSheet(t, s), "no explanation entered", "nobody acknowledged it")
	if text := readBack(t, pdf); strings.Contains(text, "NaN") || strings.Contains(text, "0001-01-01") {
		t.Errorf("an empty sheet reads %s", text)
	}
}

// A batch that was made again and again has more pages, says so on the first, and
// each page tells its number and its batch.
func TestALongBatchSaysHowManyPagesItHas(t *testing.T) {
	s := yard()
	for range 12 {
		s.Deviations = append(s.Deviations, append(yard().Deviations, yard().Deviations...)...)
		s.Deeds = append(s.Deeds, yard().Deeds...)
		s.Alarms = append(s.Alarms, yard().Alarms...)
	}
	pdf := drawnSheet(t, s)
	n := pages(t, pdf)
	if n < 3 {
		t.Fatalf("%d pages", n)
	}
	mustRead(t, pdf, entered(s)...)
	mustRead(t, pdf, fmt.Sprintf("This sheet has %d pages", n), "Deviations from the recipe, continued")
	for i, page := range strings.SplitAfter(string(run(t, pdf, "pdftotext", "-raw", "-", "-")), "\f")[:n] {
		for _, want := range []string{"Batch " + s.Number, fmt.Sprintf("page %d of %d", i+1, n)} {
			if !strings.Contains(page, want) {
				t.Errorf("page %d does not say %q", i+1, want)
			}
		}
	}
}
