package dashboards

import (
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/batch/ledger"
)

func amountOf(t *testing.T, s string) ledger.Amount {
	t.Helper()
	a, err := ledger.ParseAmount(s)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// An amount stands as it was entered; in the other system of units the site's own
// comes first (NIST Handbook 44, appendix C: 1 fl oz is 29.5735 ml, 1 oz 28.3495 g).
func TestAmountsKeepWhatWasEntered(t *testing.T) {
	for _, c := range []struct{ entered, metric, us string }{
		{"220 g", "220 g", "7.8 oz (220 g)"},
		{"1 g", "1 g", "0.04 oz (1 g)"},
		{"1.45 kg", "1.45 kg", "3 lb 3.1 oz (1.45 kg)"},
		{"800 ml", "800 ml", "27.1 fl oz (800 ml)"},
		{"27 floz", "798.5 ml (27 fl oz)", "27 fl oz"},
		{"8 oz", "227 g (8 oz)", "8 oz"},
		{"", "", ""},
	} {
		var a ledger.Amount
		if c.entered != "" {
			a = amountOf(t, c.entered)
		}
		if got := amountWords(rules.Metric, a); got != c.metric {
			t.Errorf("%q, metric: %q, want %q", c.entered, got, c.metric)
		}
		if got := amountWords(rules.US, a); got != c.us {
			t.Errorf("%q, US: %q, want %q", c.entered, got, c.us)
		}
	}
}

// A fact is said in the site's units, and what people wrote in it stays.
func TestAFactIsSaidInTheSitesUnits(t *testing.T) {
	for _, c := range []struct {
		fact       ledger.Fact
		metric, us string
	}{
		{ledger.Material{What: ledger.Oil, Name: "sunflower", Lot: "800 ml, 20 °C", Quantity: amountOf(t, "800 ml"), AtC: 20},
			"oil: 800 ml (at 20 °C) of sunflower, lot 800 ml, 20 °C", "oil: 27.1 fl oz of sunflower, lot 800 ml, 20 °C, measured at 68 °F"},
		{ledger.Weighing{What: ledger.Marc, Quantity: amountOf(t, "100 g")}, "weighed: marc 100 g", "weighed: marc 3.5 oz"},
		{ledger.Bottles{Numbers: []int{1, 2}, Each: amountOf(t, "4 floz"), AtC: 21, Place: ledger.Cool}, "filled bottles 1 and 2: 4 floz (at 21 °C) each, cool and dark", "filled bottles 1 and 2: 4 fl oz each, cool and dark, measured at 70 °F"},
		{ledger.Given{Bottle: 2, Quantity: amountOf(t, "60 ml"), To: "60 ml"}, "60 ml of bottle 2 given, reference 60 ml", "2 fl oz of bottle 2 given, reference 60 ml"},
		{ledger.Given{Bottle: 2, All: true, Thrown: true}, "all of bottle 2 thrown away", "all of bottle 2 thrown away"},
		{ledger.Deviation{Text: "it stood at 20 °C"}, "deviation: it stood at 20 °C", "deviation: it stood at 20 °C"},
	} {
		if got := SayFact(rules.Metric, c.fact); got != c.metric {
			t.Errorf("metric: %q, want %q", got, c.metric)
		}
		if got := SayFact(rules.US, c.fact); got != c.us {
			t.Errorf("US: %q, want %q", got, c.us)
		}
	}
}

// What the program says by itself is put into the site's units, differences of
// temperature as such; what is quoted was written by people, and stays.
func TestTheProgramsOwnWordsAreInTheSitesUnits(t *testing.T) {
	for text, us := range map[string]string{
		"81 g more came out than went in": "2.9 oz more came out than went in",
		"24 months cool and dark (about two years cold and dark: common practice, no source; half at 10 °C more)": "24 months cool and dark (about two years cold and dark: common practice, no source; half at 18 °F more)",
		`bottle b1/2 holds 250 ml`:                       `bottle b1/2 holds 8.5 fl oz`,
		`lot "20 g" is not in the record`:                `lot "20 g" is not in the record`,
		"0.5 l, 1.2 kg and 95 °C":                        "16.9 fl oz, 2 lb 10.3 oz and 203 °F",
		"batch 2026-03-01-north-1 g7":                    "batch 2026-03-01-north-1 g7",
		"the marc of maceration 2 goes on being weighed": "the marc of maceration 2 goes on being weighed",
	} {
		if got := MachineWords(rules.US, text); got != us {
			t.Errorf("%q became %q, want %q", text, got, us)
		}
		if got := MachineWords(rules.Metric, text); got != text {
			t.Errorf("metric: %q became %q", text, got)
		}
	}
}

// A sign that turns the direction of a text is shown (Unicode Standard Annex 9);
// letters of right-to-left scripts are left alone.
func TestTurningSignsAreShown(t *testing.T) {
	for text, want := range map[string]string{
		"lot \u202e21-S": "lot [U+202E]21-S", "a\u2066b\u2069": "a[U+2066]b[U+2069]", "שמן זית": "שמן זית", "plain": "plain",
	} {
		if got := plainly(text); got != want {
			t.Errorf("%q is shown as %q, want %q", text, got, want)
		}
	}
}

// Bottles that stand alike are one line; what differs in anything is a line of its
// own.
func TestBottlesThatStandAlikeAreOneLine(t *testing.T) {
	day, err := ledger.ParseDay("2027-05-31")
	if err != nil {
		t.Fatal(err)
	}
	bottle := func(n int, place ledger.Place, left float64, given ...ledger.Gift) ledger.Bottle {
		return ledger.Bottle{Batch: "b1", Number: n, Status: ledger.Full, FilledMl: 100, LeftMl: left, Place: place, UseBy: day, Given: given}
	}
	groups := groupBottles(rules.Metric, []ledger.Bottle{
		bottle(1, ledger.Cool, 100), bottle(2, ledger.Room, 100), bottle(3, ledger.Cool, 100), bottle(4, ledger.Cool, 100), bottle(6, ledger.Cool, 100),
		bottle(7, ledger.Cool, 40, ledger.Gift{Ml: 60, Product: "cream-4"}), bottle(8, ledger.Cool, 40, ledger.Gift{Ml: 60, To: "book 1"}),
	})
	var got []string
	for _, g := range groups {
		got = append(got, g.Bottles()+" "+g.Left+" "+g.Filled+" "+g.Together)
	}
	want := []string{"bottles 1, 3–4, 6 100 ml  400 ml", "bottle 2 100 ml  ", "bottle 7 40 ml 100 ml ", "bottle 8 40 ml 100 ml "}
	if len(got) != len(want) {
		t.Fatalf("got %q", got)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("line %d is %q, want %q", i, got[i], want[i])
		}
	}
}

// What is due is one row for each batch and wish, whatever the place.
func TestWhatIsDueIsOneRowABatchAndWish(t *testing.T) {
	today, _ := ledger.ParseDay("2026-06-01")
	later, _ := ledger.ParseDay("2027-06-01")
	due := func(batch string, n int, place ledger.Place, status ledger.Status, why string) ledger.Due {
		return ledger.Due{Bottle: ledger.Bottle{Batch: batch, Number: n, Place: place, Status: status, UseBy: later}, Why: why}
	}
	rows := dueGroups([]ledger.Due{
		due("b2", 3, ledger.Room, ledger.RancidLeft, "throw it away"),
		due("b1", 4, ledger.Room, ledger.Full, "smell"), due("b1", 1, ledger.Cool, ledger.Full, "smell"), due("b2", 1, ledger.Cool, ledger.Full, "smell"),
	}, today)
	if len(rows) != 3 || !rows[0].Throw || rows[1].Throw || rows[1].Bottles() != "bottles 1, 4" || len(rows[1].Stands) != 2 || rows[2].Batch != "b2" {
		t.Errorf("got %+v", rows)
	}
}

// The form of a batch offers what the recipe asks for, in the site's units, and
// asks for a maceration only where there are several.
func TestTheFormsAreFilledInFromTheRecipe(t *testing.T) {
	b := holding()
	b.Batch, b.Pass = "b1", 2
	b.Recipe = rules.Recipe{Herb: "Plantago lanceolata, leaf", Fresh: true, HerbG: 220, Oil: "sunflower", OilML: 800, Macerations: 2}
	data := FormsData{Account: ledger.Account{Batch: "b1"}, Bath: &b, Today: ledger.DayOf(time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC))}
	f := BatchFormsOf(rules.US, data)
	if f.Herb.Name != b.Recipe.Herb || f.Herb.Much.Unit != "oz" || f.Herb.Much.Value != "7.8" || f.Oil.At.Unit != "F" {
		t.Errorf("US: %+v", f)
	}
	if f.Pass != 2 || len(f.Passes) != 2 {
		t.Errorf("maceration %d of %v", f.Pass, f.Passes)
	}
	data.Account.Materials = []ledger.Entered[ledger.Material]{{Fact: ledger.Material{What: ledger.Herb}}}
	b.Recipe.Macerations, b.Pass = 1, 1
	if f = BatchFormsOf(rules.Metric, data); f.Herb.Much.Value != "" || f.Oil.Much.Value == "" || f.Passes != nil || f.Oil.At.Unit != "C" {
		t.Errorf("metric, with the herb entered: %+v", f)
	}
	data.Bath = nil
	if f = BatchFormsOf(rules.Metric, data); f.Herb.Name != "" || !f.Herb.Fresh || f.At.Value != "20" {
		t.Errorf("without a bath: %+v", f)
	}
}
