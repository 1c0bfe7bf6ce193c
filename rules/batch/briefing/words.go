package briefing

import (
	"fmt"
	"strings"

	"bainward/rules"
	"bainward/rules/batch"
	"bainward/rules/batch/amount"
	"bainward/rules/steam"
)

// words writes the figures of a plan in the reader's units.
type words struct {
	u rules.Units
	p *batch.Plan
}

const (
	coldC = 20.0 // at which batch gives the volumes of cold oil
	tapC  = 15.0 // of the water put in, where nobody said
	roomC = 20.0
)

func (w words) kg(r amount.Range) string {
	return amount.Say(r, func(kg float64) string { return amount.Mass(w.u, kg) })
}

func (w words) ml(r amount.Range) string {
	return amount.Say(r, func(ml float64) string { return amount.Volume(w.u, ml/1000) })
}

func (w words) mm(r amount.Range) string {
	return amount.Say(r, func(mm float64) string { return amount.Length(w.u, mm) })
}

func or(x, usual float64) float64 {
	if x == 0 {
		return usual
	}
	return x
}

func state(fresh bool) string {
	if fresh {
		return "fresh"
	}
	return "dried"
}

// what names herb and oil: "fresh Plantago lanceolata, leaf, in sunflower oil".
func (w words) what() string {
	herb, oil := "a herb that the recipe does not name", "an oil that the recipe does not name"
	if r := w.p.Ask.Recipe; r.Herb != "" {
		herb = state(r.Fresh) + " " + r.Herb
	}
	if name := w.p.Ask.Recipe.Oil; name != "" {
		oil = strings.TrimSuffix(name, " oil") + " oil"
	}
	return herb + ", in " + oil
}

// place says at what the water boils and why, from where the hold counts, and
// how warm the room is taken to be.
func (w words) place() []string {
	s := w.p.Ask.Site
	pressure := "by the site's height"
	if s.Pascal > 0 {
		pressure = "by the barometer now"
	}
	room := "The room is taken to have " + w.u.Temp(roomC) + "."
	if s.RoomC != 0 {
		room = "The room has " + w.u.Temp(s.RoomC) + " now."
	}
	boils := "Nobody can say where water boils here."
	if w.p.BoilsC > 0 {
		boils = fmt.Sprintf("Water boils here at %s, %s. The hold counts from %s in the oil.", w.u.Temp(w.p.BoilsC), pressure, w.u.Temp(w.p.FloorC))
	}
	return []string{boils, room}
}

// weigh lists what goes in.
func (w words) weigh() []Item { return []Item{w.herb(), w.oil(), w.water()} }

func (w words) herb() Item {
	g := &w.p.Goods
	if g.HerbKg <= 0 {
		return Item{Name: "Herb", Amount: "its weight is not known", Notes: []string{"Say it, or put herb_g into the recipe."}}
	}
	i := Item{Name: "Herb", Amount: amount.Mass(w.u, g.HerbKg) + " " + state(g.Fresh)}
	i.Notes = append(i.Notes, state(!g.Fresh)+" instead: "+w.kg(g.OtherKg))
	if g.HerbWaterKg.Known() {
		i.Notes = append(i.Notes, "brings "+w.kg(g.HerbWaterKg)+" of water")
	}
	return i
}

func (w words) oil() Item {
	g := &w.p.Goods
	i := Item{Name: "Oil", Amount: w.kg(g.OilKg)}
	switch {
	case g.OilKg.Known():
		i.Notes = append(i.Notes,
			w.ml(g.OilMl)+" at "+w.u.Temp(coldC),
			w.ml(g.OilHotMl)+" at "+w.u.Temp(w.p.BoilsC)+", as hot as boiling water")
	default:
		i.Amount, i.Notes = "its weight is not known", []string{"Say it, or put oil_g or oil_ml into the recipe."}
	}
	if g.CoversMl.Known() {
		i.Notes = append(i.Notes, "to cover the herb: "+w.ml(g.CoversMl)+" at "+w.u.Temp(coldC))
	}
	return i
}

// water is told by what the maker puts in, else by what should be put in.
func (w words) water() Item {
	x, a := &w.p.Water, &w.p.Ask
	i := Item{Name: "Water for the pan", Amount: w.kg(x.FillKg)}
	if !x.BareKg.Known() {
		i.Amount, i.Notes = "cannot be said", []string{"The sizes of pan and dish are not known."}
		return i
	}
	tap := or(a.Site.TapC, tapC)
	jug := func(kg amount.Range) string {
		return w.ml(amount.Times(kg, 1e6/steam.Density(tap))) + " at " + w.u.Temp(tap)
	}
	over := or(a.Given.CoverMM, batch.DefaultCoverMM)
	if x.PutIn {
		i.Amount = amount.Mass(w.u, a.Given.FillKg) + ", as you say"
		i.Notes = []string{jug(amount.Exactly(a.Given.FillKg)), "stands " + w.mm(x.CoverMM) + " over the base of the dish when hot",
			fmt.Sprintf("%s would stand %s over it", w.kg(x.FillKg), amount.Length(w.u, over))}
	} else {
		i.Notes = []string{jug(x.FillKg), fmt.Sprintf("stands %s over the base of the dish when hot", amount.Length(w.u, over))}
	}
	i.Notes = append(i.Notes, w.kg(x.BareKg)+" only wets the base")
	return i
}

// yield says what comes out, and how strong it is.
func (w words) yield() []Item {
	c := &w.p.ComesOut
	if c.Why != "" {
		return []Item{{Name: "Oil", Amount: "cannot be said", Notes: []string{"For " + c.Why + "."}}}
	}
	out := Item{Name: "Oil", Amount: w.kg(c.Kg), Notes: []string{w.ml(c.Ml) + " at " + w.u.Temp(coldC)}}
	items := []Item{out}
	parts := func(x float64) string { return fmt.Sprintf("%.1f", x) }
	if c.Strength.OneTo.Known() {
		items = append(items, Item{Name: "Strength", Amount: "1 part of dry herb to " + amount.Say(c.Strength.OneTo, parts) + " of oil", Notes: []string{"by weight"}})
	}
	if c.Strength.MarcKg.Known() {
		items = append(items, Item{Name: "Stays in the herb", Amount: w.kg(c.Strength.MarcKg), Notes: []string{"of oil, " + w.p.Ask.Given.Press.String()}})
	}
	return items
}
