package ledger

import (
	"errors"
	"slices"
	"testing"
)

// Herb lot A went into two batches, one of them into a cream, and the cream to
// two references: one question finds all of it, and nothing of the batch of lot B.
func TestARecallTakesOneQuestion(t *testing.T) {
	y := newYard(t)
	y.did(
		Opened{Batch: "b1", Bath: "north"}, herb("b1", "A", "220 g"), oil("b1", "S-17", "800 ml", "2028-12-31"), filled("b1", "100 ml", Cool, 1, 2),
		Opened{Batch: "b2", Bath: "south"}, herb("b2", " a", "200 g").trimmed(), oil("b2", "S-18", "800 ml", "2028-12-31"), filled("b2", "100 ml", Cool, 1),
		Opened{Batch: "b3", Bath: "north"}, herb("b3", "B", "220 g"), oil("b3", "S-18", "800 ml", "2028-12-31"), filled("b3", "100 ml", Cool, 1),
		Given{Batch: "b1", Bottle: 1, All: true, To: "book 12"},
		Given{Batch: "b2", Bottle: 1, Quantity: amountOf("60 ml"), Product: "cream-4", Name: "ribwort cream"},
		Given{Batch: "b3", Bottle: 1, Quantity: amountOf("5 ml"), To: "book 13"},
		Given{Batch: "cream-4", Quantity: amountOf("50 g"), To: "book 14"},
		Given{Batch: "cream-4", All: true, To: "book 15"},
	)
	r, err := y.l.From("A")
	if err != nil {
		t.Fatal(err)
	}
	var bottles, products, references []string
	for _, o := range r.Bottles {
		bottles = append(bottles, o.ID)
	}
	for _, p := range r.Products {
		products = append(products, p.Number+" "+p.Name)
	}
	for _, f := range r.References {
		references = append(references, f.From+" "+f.Much+" "+f.To)
	}
	for _, c := range []struct{ got, want []string }{
		{r.Batches, []string{"b1", "b2"}},
		{bottles, []string{"b1/1", "b1/2", "b2/1"}},
		{products, []string{"cream-4 ribwort cream"}},
		{references, []string{"b1/1 100 ml book 12", "cream-4 50 g book 14", "cream-4 all book 15"}},
	} {
		if !slices.Equal(c.got, c.want) {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
	if r.LeftMl != 140 {
		t.Errorf("%g ml are left, want 140", r.LeftMl)
	}
	o, err := y.l.Behind("cream-4")
	if err != nil || !slices.Equal(o.Batches, []string{"b2"}) || len(o.Lots) != 2 || o.Lots[1].Material.Fact.Lot != "S-18" {
		t.Errorf("behind the cream: %+v, %v", o, err)
	}
}

// trimmed is the fact as the web takes it in: a space more is no other lot.
func (f Material) trimmed() Material { f.Lot = "a"; return f }

// An oil that was made here and taken as the oil of another batch carries its lots
// along, whether it was given to that batch or named as its lot.
func TestARecallGoesThroughAnOilThatWasMadeHere(t *testing.T) {
	y := newYard(t)
	y.first()
	y.did(
		Opened{Batch: "b2", Bath: "north"}, herb("b2", "C", "200 g"), oil("b2", "b1/2", "200 ml", "2027-01-01"), filled("b2", "50 ml", Cool, 1),
		Given{Batch: "b1", Bottle: 3, All: true, Product: "b3"},
		Opened{Batch: "b3", Bath: "north"}, filled("b3", "50 ml", Cool, 1),
	)
	r, err := y.l.From("A")
	if err != nil || !slices.Equal(r.Batches, []string{"b1", "b3", "b2"}) && !slices.Equal(r.Batches, []string{"b1", "b2", "b3"}) {
		t.Errorf("lot A went into %q, %v", r.Batches, err)
	}
	for _, id := range []string{"b2/1", "b3/1"} {
		o, err := y.l.Behind(id)
		if err != nil || !slices.ContainsFunc(o.Lots, func(u LotUse) bool { return u.Material.Fact.Lot == "A" }) {
			t.Errorf("behind %s: %+v, %v", id, o, err)
		}
	}
	y.refuses(Given{Batch: "b3", Bottle: 1, All: true, Product: "b1"}, "b1 cannot be made of b3, which was made of it")
}

// What is asked for and is not there is told, with the name that may be meant.
func TestAnUnknownNameGetsAHint(t *testing.T) {
	y := newYard(t)
	if _, err := y.l.From("A"); err == nil || err.Error() != `lot "A" is not in the record: there is none yet` {
		t.Errorf("got %v", err)
	}
	y.first()
	for want, ask := range map[string]func() error{
		`batch "b11" is not in the record: did you mean "b1"?`:                                func() error { _, err := y.l.Account("b11"); return err },
		`bottle "b1/4" is not in the record: the batch has bottles 1 to 3`:                    func() error { _, err := y.l.Bottle("b1/4"); return err },
		`lot "S-71" is not in the record: did you mean "S-17"?`:                               func() error { _, err := y.l.From("S-71"); return err },
		`bottle, product or batch "mill" is not in the record: there is b1/1, b1/2, b1/3, b1`: func() error { _, err := y.l.Behind("mill"); return err },
	} {
		err := ask()
		if unknown := new(UnknownError); !errors.As(err, &unknown) || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}
