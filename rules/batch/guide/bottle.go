package guide

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"bainward/rules"
	"bainward/rules/batch/amount"
	"bainward/rules/batch/larder"
	"bainward/rules/batch/ledger"
	"bainward/rules/batch/shelf"
)

const (
	referenceC = 20.0
	// usualEachMl is offered where nothing was bottled before (own choice).
	usualEachMl, usualEachFlOz = 100.0, 4.0
)

// bottle fills bottles.
func (w *writer) bottle() Step {
	s := Step{Key: Bottle, Title: "Fill the bottles"}
	if n := len(w.Account.Bottles); n > 0 {
		s.doneBy(w.lastFilled().When, w.lastFilled().Who)
		s.Did = []string{w.filled()}
	} else {
		s.Say = []string{"Fill clean, dry bottles to the neck: air spoils oil. Look against the light: it must be clear, with nothing at the bottom."}
	}
	if !w.done() {
		return s
	}
	s.Say = append(s.Say, w.keeps()...)
	if gap, read := w.overRoom(); read && !w.isCool() && !w.tooSoon() {
		s.Cautions = []string{"The oil is " + w.u.TempDiff(gap) + " warmer than the room: bottled now it sweats. Let it cool first."}
	}
	button := "They are filled"
	if s.Stands == Done {
		button = "More bottles are filled"
	}
	s.Form = &Form{To: ToBottles, Fixed: map[string]any{}, Fields: w.bottles(), Button: button, Records: "how many bottles, what is in each, and where they stand"}
	return s
}

// bottles asks what was filled, and offers what the oil that is left comes to.
func (w *writer) bottles() []Field {
	each, unit := usualEachMl, "ml"
	if w.us() {
		each, unit = usualEachFlOz, "floz"
	}
	from := ""
	if b, ok := w.Stock.bottles(); ok {
		if q := rules.Quantity(b.Each); q.Kilograms(0) == 0 && q.Unit.String() == unit {
			each, from = float64(q.Milli)/1000, "as the last ones"
		}
	}
	count := Field{Name: "count", Label: "How many bottles", Kind: Count, Required: true}
	if ml, why := w.leftMl(); ml > 0 {
		in := each
		if w.us() {
			in = each * amount.MlPerFlOz
		}
		count.Value, count.From = strconv.Itoa(int(math.Max(1, math.Floor(ml/in)))), fmt.Sprintf("%s, %.0f ml", why, ml)
		if w.us() {
			count.From = fmt.Sprintf("%s, %.1f fl oz", why, ml/amount.MlPerFlOz)
		}
	}
	units := append([]string{unit}, "g")
	if w.us() {
		units[1] = "oz"
	}
	return []Field{
		count,
		{Name: "each", Label: "In each", Kind: Quantity, Units: units, Value: strconv.FormatFloat(each, 'f', -1, 64), From: from, Required: true},
		w.warmth("at_c", "The oil is this warm", ""),
		{Name: "water", Label: "Water in it", Kind: Choice, Required: true, Choices: []Option{
			{string(ledger.NoWater), "None: it is clear, with nothing at the bottom"}, {string(ledger.WaterIn), "Some: it is cloudy, or drops lie at the bottom"}}},
		{Name: "place", Label: "Where they stand", Kind: Choice, Value: string(ledger.Cool), Required: true, Choices: []Option{
			{string(ledger.Cool), "cool and dark"}, {string(ledger.Room), "in the room, dark"}, {string(ledger.Fridge), "in the refrigerator"}}},
	}
}

// leftMl is the oil at room temperature that is not in bottles yet, and where that
// is known from; 0 if it is not.
func (w *writer) leftMl() (ml float64, why string) {
	kg, why := 0.0, ""
	if out := w.Account.Balance.OilOutKg; out != nil {
		kg, why = out.P50, "from the oil that was weighed"
	} else if a := w.Account.Strength; a.Lacks == "" && a.Result.OutKg.Known() {
		kg, why = a.Result.OutKg.P50, "reckoned from what went in"
	}
	if kg <= 0 {
		return 0, ""
	}
	return math.Max(0, larder.FindOil(w.oilName()).Ml(amount.Exactly(kg), referenceC).P50-w.Account.Balance.BottledMl), why
}

// keeps says until when the oil will be good, and why.
func (w *writer) keeps() (say []string) {
	for _, place := range []ledger.Place{ledger.Cool, ledger.Room} {
		where, _ := place.Storage()
		d := shelf.UseBy(shelf.Bottles{Made: w.Account.Made.Time(), Storage: where, OilBest: w.oilBest(), Fresh: w.Now.Recipe.Fresh, Water: shelf.WaterGone})
		if d.Reason == shelf.NoDate {
			return nil
		}
		say = append(say, "Kept "+where.String()+" it is good until "+date(d.By)+": "+d.Source+".")
		if d.Reason == shelf.ByOil {
			return say
		}
	}
	return say
}

// oilName is the oil as it was weighed in, else as the recipe names it.
func (w *writer) oilName() string {
	if all := w.materials(ledger.Oil, 0); len(all) > 0 {
		return all[0].Fact.Name
	}
	return w.Now.Recipe.Oil
}

func (w *writer) oilBest() (best time.Time) {
	for _, m := range w.materials(ledger.Oil, 0) {
		if d := m.Fact.BestBefore; !d.IsZero() && (best.IsZero() || d.Time().Before(best)) {
			best = d.Time()
		}
	}
	return best
}

func (w *writer) filled() string {
	b := w.Account.Bottles
	if len(b) == 1 {
		return fmt.Sprintf("one bottle, %.0f ml", b[0].FilledMl)
	}
	return fmt.Sprintf("%d bottles, %.0f ml", len(b), w.Account.Balance.BottledMl)
}

// filling is when a bottle was filled, and by whom.
type filling struct {
	When time.Time
	Who  string
}

func (w *writer) firstFilled() filling { return w.filling(0) }

func (w *writer) lastFilled() filling { return w.filling(len(w.Account.Bottles) - 1) }

func (w *writer) filling(i int) filling {
	if i < 0 || i >= len(w.Account.Bottles) || len(w.Account.Bottles[i].Places) == 0 {
		return filling{}
	}
	first := w.Account.Bottles[i].Places[0]
	return filling{first.When, first.Who}
}

// closing says that all of the oil is in bottles, which ends the batch.
func (w *writer) closing() Step {
	s := Step{Key: Close, Title: "That was all"}
	if w.Now.Phase == rules.Bottled {
		d, _ := w.Trail.find(rules.Bottle, w.pass())
		s.doneBy(d.When, d.Who)
		return s
	}
	s.Say = []string{"When all of the oil is in bottles, the batch is done."}
	if n := len(w.Account.Bottles); n > 0 {
		s.Say = []string{"In the record are " + w.filled() + ". If that was all of the oil, the batch is done; else enter more bottles above."}
	}
	if w.done() && len(w.Account.Bottles) > 0 {
		s.Form = w.event(rules.Bottle, "All the oil is in bottles", "that the batch is done")
		s.Form.Fixed["quantity"] = fmt.Sprintf("%.0f ml", w.Account.Balance.BottledMl)
	}
	return s
}

// label prints labels and sheet.
func (w *writer) label() Step {
	s := Step{Key: Label, Title: "Labels and sheet", Links: []Link{{Page: LabelsPage, Text: "The labels"}, {Page: SheetPage, Text: "The sheet"}}}
	s.Say = []string{"Print the labels and put them on, then print the sheet and keep it."}
	if w.Now.Phase == rules.Bottled && len(w.Account.Bottles) > 0 {
		if o := w.Account.Bottles[0]; !o.UseBy.IsZero() {
			s.Say = append(s.Say, "On the label stands "+date(o.UseBy.Time())+": "+o.UseByWhy+".")
		}
		s.Go = "The labels are on"
	}
	return s
}

// shelf is where the bottles end.
func (w *writer) shelf() Step {
	s := Step{Key: Shelf, Title: "On the shelf", Say: []string{"Cool, dark and full they keep best. Smell at one every three months; when one is given away, write down to whom."}}
	s.Links = []Link{{Page: ShelfPage, Text: "What is on the shelf"}}
	if w.Now.Phase == rules.Bottled {
		s.Go = "Begin the next batch"
	}
	return s
}

// givenUp ends a batch that was abandoned.
func (w *writer) givenUp() Step {
	s := Step{Key: GivenUp, Title: "Given up", Say: []string{"This batch was given up. What was entered of it stays in the record."}}
	s.Cautions = []string{"Turn the heat off. Let the oil cool before you throw it away: it burns, and it blocks drains."}
	s.Go = "Begin the next batch"
	return s
}

// next begins the next batch while the last one is not closed yet.
func (w *writer) next() Step {
	s := Step{Key: Next, Title: "The next batch", Optional: true}
	s.Say = []string{"It begins with what you see to before you light."}
	if w.open && w.Now.Phase != rules.Idle && w.Now.Phase.Over() {
		before := *w
		before.Checks = nil
		s.Form, s.Links = before.checklist().Form, w.toPhones()
	}
	return s
}

func date(t time.Time) string { return t.Format("2 January 2006") }
