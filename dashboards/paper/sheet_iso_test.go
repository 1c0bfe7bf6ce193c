package paper_test

import (
	"strings"
	"testing"

	"bainward/dashboards/paper"
)

// item is something that a batch record must tell, with where it is asked for and
// the lines that tell it, in metric and in US units.
type item struct {
	clause, what string
	metric, us   []string
}

// demanded lists ISO 22716:2007, 7.2.1 to 7.2.4, clause by clause; 7.2.5 and 17 are
// from memory, 90 % sure.
func demanded() []item {
	same := func(clause, what string, lines ...string) item { return item{clause, what, lines, lines} }
	return []item{
		{"7.2.1.2 a", "suitable equipment",
			[]string{"pan, inside | 250 mm", "dish, outside | 205 mm", "base of the dish | 30 mm above the pan floor", "wets the base | 712 g of cold water, weighed", "other | glass dish 2; scale K1, checked 2026-02-20"},
			[]string{"pan, inside | 9.8 in", "dish, outside | 8.1 in", "base of the dish | 1.2 in above the pan floor", "wets the base | 1 lb 9.1 oz of cold water, weighed", "other | glass dish 2; scale K1, checked 2026-02-20"}},
		{"7.2.1.2 a", "measuring equipment with its calibration",
			[]string{"oil | 28-00000bbb9b13 | 2026-02-14 | ± 0.31 °C", "bath | 28-000005fba71c | 2026-02-14 | ± 0.28 °C", "room | 28-0000071f2a33 | never | not known"},
			[]string{"oil | 28-00000bbb9b13 | 2026-02-14 | ± 0.56 °F", "bath | 28-000005fba71c | 2026-02-14 | ± 0.50 °F", "room | 28-0000071f2a33 | never | not known"}},
		{"7.2.1.2 b", "formula",
			[]string{"name | ribwort-fresh", "herb | 220 g, Plantago lanceolata, leaf, fresh", "oil | 800 ml, sunflower"},
			[]string{"name | ribwort-fresh", "herb | 7.8 oz, Plantago lanceolata, leaf, fresh", "oil | 27 fl oz, sunflower"}},
		{"7.2.1.2 c", "raw materials with batch numbers and quantities",
			[]string{"Plantago lanceolata, leaf, fresh | bed 4, cut 2026-03-01 | 220 g", "Sunflower oil | SF-2291 | 736 g | 800 ml", "bed 5, cut 2026-03-01 | 198 g"},
			[]string{"Plantago lanceolata, leaf, fresh | bed 4, cut 2026-03-01 | 7.8 oz", "Sunflower oil | SF-2291 | 1 lb 10.0 oz | 27 fl oz", "bed 5, cut 2026-03-01 | 7.0 oz"}},
		{"7.2.1.2 d", "operations of each stage with temperatures and times",
			[]string{"hold | 2 h 00 min at or above the floor, 2 times", "floor | 15.0 °C below the boiling point of the moment", "09:00:00 | 09:02:00 | 09:41:00 | not recorded | 14:02:00 | 17:30:00",
				"1 | 220 g, leaf, fresh | 09:02:00 | 11:50:00 | 2 h 00 min | 2 h 04 min | 95.1 °C | held", "2 | 198 g, leaf, fresh | 11:58:00 | 14:02:00 | 2 h 00 min | 1 h 36 min | 93.4 °C | short"},
			[]string{"hold | 2 h 00 min at or above the floor, 2 times", "floor | 27.0 °F below the boiling point of the moment", "09:00:00 | 09:02:00 | 09:41:00 | not recorded | 14:02:00 | 17:30:00",
				"1 | 220 g, leaf, fresh | 09:02:00 | 11:50:00 | 2 h 00 min | 2 h 04 min | 203.2 °F | held", "2 | 198 g, leaf, fresh | 11:58:00 | 14:02:00 | 2 h 00 min | 1 h 36 min | 200.1 °F | short"}},
		same("7.2.1.2 d", "addition of raw materials", "09:01:00 | charge | Robin", "11:58:00 | recharge 198 g | Sorrel", "10:01:00 | top-up 0.5 kg | Robin"),
		same("7.2.1.2 d", "sampling", "17:10:00 | took a sample of 20 ml | Robin"),
		same("7.2.1.2 d", "cleaning", "08:47:00 | cleaned pan and dish | Robin"),
		same("7.2.1.2 d", "transfer of bulk", "17:30:00 | bottle 0.69 l, moved to the cellar | Robin"),
		same("7.2.2 a", "documents available", "recipe and sheet at hand | Robin 08:41:00"),
		same("7.2.2 b", "raw materials available and released", "materials at hand and released | Robin 08:44:00", "Robin, looked over", "Sorrel, certificate 114"),
		same("7.2.2 c", "equipment in working order and clean", "equipment works and is clean | Robin 08:47:00"),
		same("7.2.2 d", "area cleared", "the place is cleared of other work | not entered"),
		same("7.2.3", "batch number", "2026-03-01-north-1", "Batch 2026-03-01-north-1 | bainward v0.3.1, record as of 2026-03-01 17:45 | page 1 of 2", "page 2 of 2"),
		same("7.2.5", "in-process controls with acceptance criteria",
			"what | asked | found", "hottest oil | not above the boiling point | 95.1 °C | met",
			"hold of the second maceration | 2 h 00 min | 1 h 36 min | NOT met", "water left in the oil, sample of 20 ml | clear, nothing at the bottom | clear after 3 h | met"),
		{"7.3", "what was filled",
			[]string{"6 × | 100 ml | 92 g | cellar, shelf 2 | 2027-09-30", "1 × | 90 ml | 83 g | kept sample, fridge | 2027-09-30"},
			[]string{"6 × | 3.4 fl oz (100 ml) | 3.2 oz | cellar, shelf 2 | 2027-09-30", "1 × | 3.0 fl oz (90 ml) | 2.9 oz | kept sample, fridge | 2027-09-30"}},
		same("17", "signed and dated", "Robin, 2026-03-01 17:45", "made and entered by: name, day, time | reviewed by: name, day, time"),
	}
}

// Everything that the standard for good manufacturing practice of cosmetics asks
// of a batch record can be read from the paper, figures beside what they belong to.
func TestTheSheetHoldsABatchRecord(t *testing.T) {
	metric, us := asPrinted(t, drawnSheet(t, yard())), asPrinted(t, drawnSheet(t, american()))
	for _, one := range demanded() {
		t.Run(strings.ReplaceAll(one.clause+" "+one.what, " ", "_"), func(t *testing.T) {
			for _, line := range one.metric {
				if !stands(metric, line) {
					t.Errorf("A4, metric: no line has %q", line)
				}
			}
			for _, line := range one.us {
				if !stands(us, line) {
					t.Errorf("Letter, US units: no line has %q", line)
				}
			}
		})
	}
	if t.Failed() {
		t.Logf("A4:\n%s\nLetter:\n%s", metric, us)
	}
}

// A departure from the recipe stands with its time, what the maker says to it and
// who he is; silence of the maker is said aloud.
func TestDeviationsStandWithTheirExplanation(t *testing.T) {
	s := yard()
	pdf := drawnSheet(t, s)
	text := asPrinted(t, pdf)
	if !strings.Contains(readBack(t, pdf), squeezed(s.Deviations[0].Explanation)) {
		t.Errorf("the explanation %q is not on it", s.Deviations[0].Explanation)
	}
	for _, line := range []string{
		"14:02:00 | second hold 24 min short | The gas ran out and the spare bottle was empty.",
		"12:40:00 | bath off the simmer for 11 min | no explanation entered | Sorrel",
		"Verdict: short | Hottest oil: 95.1 °C | Alarms: 3 | Deviations: 2",
	} {
		if !stands(text, line) {
			t.Errorf("no line has %q:\n%s", line, text)
		}
	}
}

// Each alarm tells after how long who answered it, or that nobody did.
func TestAlarmsTellWhoAnswered(t *testing.T) {
	text := asPrinted(t, drawnSheet(t, yard()))
	for _, line := range []string{
		"09:58:00 | top-up-due | medium | 3 min | Robin",
		"10:29:00 | top-up-due | medium | 2 min | Sorrel",
		"12:40:00 | off-the-simmer | low | nobody acknowledged it",
	} {
		if !stands(text, line) {
			t.Errorf("no line has %q:\n%s", line, text)
		}
	}
}

// Whoever did something is named with it, and so is every caution with its source.
func TestDeedsAndCautionsAreAllThere(t *testing.T) {
	s := yard()
	pdf := drawnSheet(t, s)
	text, raw := asPrinted(t, pdf), readBack(t, pdf)
	for _, d := range s.Deeds {
		if line := d.At.Format("15:04:05") + " | " + d.What + " | " + d.Who; !stands(text, line) {
			t.Errorf("no line has %q", line)
		}
	}
	for _, c := range s.Cautions {
		for _, words := range []string{c.Text, c.Source} {
			if !strings.Contains(raw, squeezed(words)) {
				t.Errorf("%q is not on it", words)
			}
		}
	}
}

// A signature that the record has is printed; one that it lacks leaves a line of
// at least 60 mm with 8 mm above it for a hand.
func TestSignaturesAreThereOrLeftOpen(t *testing.T) {
	s := yard()
	s.ReviewedBy = paper.Signature{Name: "Sorrel", At: s.AsOf.AddDate(0, 0, 1)}
	if text := asPrinted(t, drawnSheet(t, s)); !stands(text, "Robin, 2026-03-01 17:45 | Sorrel, 2026-03-02 17:45") {
		t.Errorf("the two signatures do not stand beside each other:\n%s", text)
	}
	s.MadeBy, s.ReviewedBy = paper.Signature{}, paper.Signature{}
	pages := printedPages(t, drawnSheet(t, s))
	last := pages[len(pages)-1]
	var heading, below printedWord
	for _, w := range last.Words {
		switch w.Text {
		case "Signatures":
			heading = w
		case "reviewed":
			below = w
		}
	}
	if room := (below.Top - heading.Bottom) / pointsPerMM; heading.Text == "" || below.Text == "" || room < 8 {
		t.Errorf("%.1f mm are left for a hand, want at least 8", room)
	}
	if width := last.Width - below.Left - float64(12*pointsPerMM); width < 60*pointsPerMM {
		t.Errorf("the open line is %.1f mm long, want at least 60", width/pointsPerMM)
	}
}

// Who entered from a page that the whole workshop shares stands as one line, and a
// date at the end of a line goes to the next in one piece.
func TestUsualTextsAreNotTornApart(t *testing.T) {
	s := yard()
	for i := range s.Deeds {
		s.Deeds[i].Who = "Alder Yard"
	}
	for words := range 12 { // so that the date comes to lie at every place of a line
		s.Strength = append(s.Strength, strings.Repeat("oil ", 8+words)+"best before 2028-01-26")
	}
	text := asPrinted(t, drawnSheet(t, s))
	for _, d := range s.Deeds {
		if line := d.What + " | Alder Yard"; !stands(text, line) {
			t.Errorf("no line has %q", line)
		}
	}
	if n := strings.Count(text, "2028-01-26"); n != 12 {
		t.Errorf("%d of 12 dates are in one piece", n)
	}
	if t.Failed() {
		t.Log(text)
	}
}
