package app

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"bainward/daemon/site"
	"bainward/rules"
	"bainward/rules/batch/ledger"
)

// madeBy is the kitchen's site with somebody who answers for the oil.
func (k *kitchen) madeBy(units rules.Units) *site.Site {
	s := *k.site
	s.Units = units
	s.Maker = site.Maker{Name: "Alder Yard", Address: []string{"1 Alder Lane", "Alderton"}}
	return &s
}

func (k *kitchen) labels(s *site.Site, number string, c LabelChoice) []BottleLabel {
	k.t.Helper()
	all, _, err := ReadLabels(k.t.Context(), k.app.record.Reader, s, number, c)
	if err != nil {
		k.t.Fatal(err)
	}
	return all
}

// A label holds what Regulation (EC) No 1223/2009, article 19(1), asks for, of its
// own bottle, and its date is never later than that of the base oil.
func TestALabelHoldsWhatTheRecordKnows(t *testing.T) {
	k := newKitchen(t)
	number := k.inBottles("A")
	all := k.labels(k.madeBy(rules.Metric), number, LabelChoice{})
	if len(all) != 2 || all[1].Bottle != number+"/2" {
		t.Fatalf("labels of %+v", all)
	}
	l := all[0]
	if l.Number != number || l.Responsible != "Alder Yard, 1 Alder Lane, Alderton" || l.Title != "ribwort plantain oil" {
		t.Errorf("on it stand %q, %q, %q", l.Title, l.Number, l.Responsible)
	}
	if want := []string{"Helianthus Annuus Seed Oil", "Plantago Lanceolata Leaf Extract"}; !slices.Equal(l.Ingredients, want) {
		t.Errorf("ingredients %q, want %q", l.Ingredients, want)
	}
	if l.Content.Text != "250 ml" {
		t.Errorf("content %q, want the 250 ml to which it was filled", l.Content.Text)
	}
	best := until(t, "2027-05-31").Time()
	if !l.Date.By.Equal(best) || !l.Mark.BestBefore {
		t.Errorf("good until %s, want that of the oil", l.Date.By)
	}
	us := k.labels(k.madeBy(rules.US), number, LabelChoice{Bottles: []int{2}})
	if len(us) != 1 || us[0].Content.Text != "Net 8.4 fl oz (248 ml)" {
		t.Errorf("for the USA: %+v", us[0].Content)
	}
}

// A bottle that was put in a warmer place keeps shorter, and its label says so;
// the others keep theirs.
func TestALabelFollowsItsBottle(t *testing.T) {
	k := newKitchen(t)
	number := k.inBottles("A")
	k.entered(ledger.Moved{Batch: number, Numbers: []int{1}, Place: ledger.Room})
	all := k.labels(k.site, number, LabelChoice{})
	account := k.account(number)
	for i, l := range all {
		if want := account.Bottles[i].UseBy.Time(); !l.Date.By.Equal(want) || !l.Mark.By.Equal(want) {
			t.Errorf("bottle %d: good until %s, marked %s, want %s", i+1, l.Date.By, l.Mark.By, want)
		}
	}
	if !all[0].Date.By.Before(all[1].Date.By) {
		t.Errorf("both are good until %s: this test cannot fail", all[1].Date.By)
	}
	blank := k.labels(k.site, number, LabelChoice{Blank: 3})
	if len(blank) != 3 || blank[0].Bottle != "" || !blank[2].Date.By.Equal(all[0].Date.By) {
		t.Errorf("without a number: %+v, want the shortest date", blank)
	}
}

// Before anything is filled a label promises no content; who is nobody is told.
func TestALabelBeforeTheBottlingPromisesNothing(t *testing.T) {
	k := newKitchen(t)
	k.hold()
	l := k.labels(k.site, k.batch(), LabelChoice{Blank: 1})[0]
	if l.Content.Text != "" || !slices.Contains(l.Missing, "name and address of who answers for it") || !slices.Contains(l.Missing, "the oil") {
		t.Errorf("content %q, missing %q", l.Content.Text, l.Missing)
	}
}

// What is not sure to be an ingredient is listed, and asked about.
func TestWhatWasEnteredBesideIsAskedAbout(t *testing.T) {
	k := newKitchen(t)
	number := k.inBottles("A")
	k.entered(ledger.Material{Batch: number, What: ledger.Other, Name: "Tocopherol", Lot: "E-1", Quantity: much(t, "2 g")})
	l := k.labels(k.site, number, LabelChoice{})[0]
	asked := slices.ContainsFunc(l.Missing, func(s string) bool { return strings.Contains(s, `whether "Tocopherol" is in the oil`) })
	if !slices.Contains(l.Ingredients, "Tocopherol") || !asked {
		t.Errorf("ingredients %q, missing %q", l.Ingredients, l.Missing)
	}
}

// Labels that cannot be are refused with what there is.
func TestLabelsThatCannotBe(t *testing.T) {
	k := newKitchen(t)
	number := k.inBottles("A")
	refused := func(c LabelChoice, want string) {
		t.Helper()
		_, _, err := ReadLabels(t.Context(), k.app.record.Reader, k.site, number, c)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v: got %v, want %q", c, err, want)
		}
	}
	refused(LabelChoice{Bottles: []int{1, 7}}, "has 2, numbered 1 to 2")
	refused(LabelChoice{Bottles: []int{1}, Blank: 2}, "not both")
	refused(LabelChoice{Blank: 2000}, "want at most 1000")
	k.entered(ledger.Bottles{Batch: number, Count: 1, Each: much(t, "50 ml"), AtC: 21, Place: ledger.Cool})
	refused(LabelChoice{Blank: 1}, "one label cannot be for all")
	k.entered(ledger.Smelled{Batch: number, Numbers: []int{2}, Smell: ledger.Rancid})
	refused(LabelChoice{Bottles: []int{2}}, "was found rancid: throw it away")
	if all := k.labels(k.site, number, LabelChoice{}); len(all) != 2 || all[1].Bottle != number+"/3" {
		t.Errorf("of what is good there are labels of %+v, want bottles 1 and 3", all)
	}
	k.entered(ledger.Given{Batch: number, Bottle: 2, All: true, Thrown: true})
	for _, bottle := range []int{1, 3} {
		k.entered(ledger.Given{Batch: number, Bottle: bottle, All: true, To: "book 1"})
	}
	refused(LabelChoice{}, "no bottle of it has anything good left")
	if all := k.labels(k.site, number, LabelChoice{Bottles: []int{3}}); len(all) != 1 {
		t.Errorf("named, an empty bottle has %d labels, want 1", len(all))
	}
	var unknown *ledger.UnknownError
	if _, _, err := ReadLabels(t.Context(), k.app.record.Reader, nil, "b9", LabelChoice{}); !errors.As(err, &unknown) {
		t.Errorf("of no batch: %v", err)
	}
}

// The same record gives labels of the same date, until something of them changes.
func TestLabelsAreDatedByTheRecord(t *testing.T) {
	k := newKitchen(t)
	number := k.inBottles("A")
	when := func() time.Time {
		_, dated, err := ReadLabels(t.Context(), k.app.record.Reader, k.site, number, LabelChoice{})
		if err != nil {
			t.Fatal(err)
		}
		return dated
	}
	first := when()
	k.pollFor(time.Minute)
	k.entered(ledger.Smelled{Batch: number, Numbers: []int{1}, Smell: ledger.Fine})
	if again := when(); !again.Equal(first) || first.IsZero() {
		t.Errorf("dated %s, later %s", first, again)
	}
}
