package guide

import (
	"fmt"
	"math"
	"strconv"

	"bainward/rules/batch/amount"
	"bainward/rules/batch/ledger"
	"bainward/sensors"
)

// herb weighs the herb of maceration p in.
func (w *writer) herb(p int) Step {
	s := Step{Key: Herb, Pass: p, Title: "Weigh the herb in"}
	if p > 1 {
		s.Title = "Weigh new herb in"
	}
	if all := w.materials(ledger.Herb, p); len(all) > 0 {
		s.materialsDone(all)
		return s
	}
	if !w.open || p > w.pass()+1 {
		return s
	}
	r := w.Now.Recipe
	s.Say = []string{"Weigh it as it goes into the dish, and write down its lot, so that a bottle can be traced back to it."}
	if p > 1 {
		s.Say = append([]string{"For the next maceration new herb goes into the same oil."}, s.Say...)
	}
	f := &Form{To: ToMaterial, Fixed: map[string]any{"what": string(ledger.Herb), "pass": p}, Button: "The herb is weighed in",
		Records: "which herb, how much, and its lot"}
	if r.Herb == "" {
		f.Fields = append(f.Fields,
			Field{Name: "name", Label: "Herb and part", Kind: Text, Hint: "such as Plantago lanceolata, leaf", Required: true},
			Field{Name: "state", Label: "It is", Kind: Choice, Required: true, Choices: []Option{{string(ledger.Fresh), "fresh"}, {string(ledger.Dried), "dried"}}})
	} else {
		f.Fixed["name"], f.Fixed["state"] = r.Herb, state(r.Fresh)
		s.Say[len(s.Say)-1] = "Weigh it as it goes into the dish: " + state(r.Fresh) + " " + r.Herb + ". By its lot a bottle can be traced back to it."
	}
	much := w.weight("quantity", "Weight", r.HerbG/1000, false)
	if r.HerbG > 0 {
		much.From = "as the recipe says"
	}
	f.Fields = append(f.Fields, much, w.lot(ledger.Herb, r.Herb, "the supplier's number, or where and when it was picked"))
	s.Form, s.Go = f, "Not weighed in"
	return s
}

// oil weighs the oil in.
func (w *writer) oil() Step {
	s := Step{Key: Oil, Title: "Weigh the oil in"}
	if all := w.materials(ledger.Oil, 0); len(all) > 0 {
		s.materialsDone(all)
		return s
	}
	if !w.open {
		return s
	}
	r := w.Now.Recipe
	s.Say = []string{"Weigh it if you can: a volume grows as oil warms."}
	f := &Form{To: ToMaterial, Fixed: map[string]any{"what": string(ledger.Oil), "pass": 1}, Button: "The oil is weighed in",
		Records: "which oil, how much, its lot and its own date"}
	if r.Oil == "" {
		f.Fields = append(f.Fields, Field{Name: "name", Label: "Oil", Kind: Text, Hint: "such as sunflower", Required: true})
	} else {
		f.Fixed["name"] = r.Oil
		s.Say = []string{"Weigh the " + r.Oil + " oil if you can: a volume grows as oil warms."}
	}
	much := w.weight("quantity", "How much", 0, false)
	if w.Plan != nil && w.Plan.Goods.OilKg.Known() {
		much = w.weight("quantity", "How much", w.Plan.Goods.OilKg.P50, false)
		much.From = "the recipe's volume, as a weight"
	}
	much.Units = append(much.Units, w.volumes()...)
	best := Field{Name: "best_before", Label: "Best before", Kind: Day, Hint: "as its label says; no bottle is good for longer"}
	if m, ok := w.Stock.last(ledger.Oil, r.Oil); ok && !m.BestBefore.IsZero() {
		best.Value, best.From = m.BestBefore.String(), "as with lot "+m.Lot
	}
	f.Fields = append(f.Fields, much, w.lot(ledger.Oil, r.Oil, "as on its bottle or can"), best,
		w.warmth("at_c", "It is this warm", "counts only for a volume"))
	s.Form, s.Go = f, "Not weighed in"
	return s
}

// lot asks for a lot, and offers the one that was used last.
func (w *writer) lot(what ledger.What, name, hint string) Field {
	f := Field{Name: "lot", Label: "Lot", Kind: Text, Hint: hint, Required: true}
	for _, m := range w.Account.Materials { // the last one of this batch comes first
		if m.Fact.What == what && sameName(m.Fact.Name, name) {
			f.Value, f.From = m.Fact.Lot, "as in maceration "+strconv.Itoa(max(1, m.Fact.Pass))
		}
	}
	if f.Value != "" {
		return f
	}
	if m, ok := w.Stock.last(what, name); ok {
		f.Value, f.From = m.Lot, "the lot that was used last"
	}
	return f
}

func (s *Step) materialsDone(all []ledger.Entered[ledger.Material]) {
	for _, m := range all {
		s.doneBy(m.When, m.Who)
		s.Did = append(s.Did, fmt.Sprintf("%s of %s, lot %s", m.Fact.Quantity, m.Fact.Name, m.Fact.Lot))
	}
}

// weight asks for a weight and offers kg; 0: nothing is known.
func (w *writer) weight(name, label string, kg float64, water bool) Field {
	f := Field{Name: name, Label: label, Kind: Quantity, Required: true}
	f.Units, f.Value = w.scale(kg)
	if water {
		f.Units = append(f.Units, w.volumes()...)
	}
	return f
}

// jug asks for water as a jug measures it, and offers kg.
func (w *writer) jug(name, label string, kg float64) Field {
	f := Field{Name: name, Label: label, Kind: Quantity, Units: append(w.volumes(), "g", "kg")}
	x := math.Round(kg*100) * 10
	if w.us() {
		f.Units = append(w.volumes(), "oz", "lb")
		x = math.Round(kg * 1000 / amount.MlPerFlOz)
	}
	if x > 0 {
		f.Value = strconv.FormatFloat(x, 'f', -1, 64)
	}
	return f
}

// volumes are the units of a jug.
func (w *writer) volumes() []string {
	if w.us() {
		return []string{"floz"}
	}
	return []string{"ml", "l"}
}

// warmth asks for the temperature of the oil, and offers what a probe reads that
// is as cool as the room, or the room itself.
func (w *writer) warmth(name, label, hint string) Field {
	c, from := math.NaN(), ""
	switch oil, room := w.Now.Celsius[sensors.Oil], w.Now.Celsius[sensors.Room]; {
	case w.off(w.pass()) && !math.IsNaN(oil):
		c, from = oil, "as the probe in the oil reads"
	case !math.IsNaN(room):
		c, from = room, "as the room"
	}
	f := Field{Name: name, Label: label, Kind: Celsius, Hint: hint, From: from, Units: []string{"°C"}}
	if w.us() {
		f.Units = []string{"°F"}
	}
	if math.IsNaN(c) {
		c, f.From = usualRoomC, "an ordinary room"
	}
	f.Value = w.degrees(c)
	return f
}

// usualRoomC is the room that stands in for one that nobody measures, as in batch.
const usualRoomC = 20.0
