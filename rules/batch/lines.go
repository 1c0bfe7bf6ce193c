package batch

import (
	"fmt"
	"math"

	"bainward/rules"
	"bainward/rules/batch/amount"
	"bainward/rules/steam"
)

// Line is one figure of the plan for people: what it is, in words with its
// range, and where it comes from.
type Line struct {
	Figure string `json:"figure"`
	Text   string `json:"text"`
	Source string `json:"source"`
}

// Lines says the plan, in the order in which a maker needs it.
func (p *Plan) Lines(u rules.Units) []Line {
	w := writer{u: u}
	p.goodsLines(&w)
	p.waterLines(&w)
	p.timeLines(&w)
	p.outLines(&w)
	return w.lines
}

// writer gathers lines and leaves out those whose range is unknown.
type writer struct {
	u     rules.Units
	lines []Line
}

func (w *writer) add(figure, text, source string) {
	w.lines = append(w.lines, Line{figure, text, source})
}

func (w *writer) amount(figure string, r amount.Range, write func(float64) string, source string) {
	if r.Known() {
		w.add(figure, amount.Say(r, write), source)
	}
}

func (w *writer) kg(x float64) string    { return amount.Mass(w.u, x) }
func (w *writer) ml(x float64) string    { return amount.Volume(w.u, x/1000) }
func (w *writer) mm(x float64) string    { return amount.Length(w.u, x) }
func (w *writer) parts(x float64) string { return fmt.Sprintf("1:%.1f", x) }
func (w *writer) share(x float64) string { return fmt.Sprintf("%.0f %%", 100*x) }

const density = "density of the oil at its temperature: "

func (p *Plan) goodsLines(w *writer) {
	g := &p.Goods
	state, other := "dried", "fresh"
	if g.Fresh {
		state, other = "fresh", "dried"
	}
	if g.HerbKg > 0 {
		w.add("herb", w.kg(g.HerbKg)+" "+state, "the recipe")
		w.amount("water in the herb", g.Water.Range, w.share, g.Water.Source)
		w.amount("the same as "+other+" herb", g.OtherKg, w.kg, "dry matter stays; dried herb taken as 10 % water")
		w.amount("water that the herb brings", g.HerbWaterKg, w.kg, g.Water.Source)
	}
	w.amount("oil by weight", g.OilKg, w.kg, density+g.Oil.Source)
	w.amount("oil at "+w.u.Temp(referenceC), g.OilMl, w.ml, density+g.Oil.Source)
	w.amount("the same oil at the boil", g.OilHotMl, w.ml, "expansion 0.67 kg/m³ a kelvin (Coupland and McClements 1997, from memory)")
	w.amount("oil that covers the herb", g.CoversMl, w.ml, "room of the chopped herb less its tissue, and 5 mm over it; room: "+g.BulkFrom)
	w.amount("herb to oil, as weighed", g.Ratio, w.parts, "by weight")
	w.amount("herb to oil, as dry herb", g.DryRatio, w.parts, "by weight")
}

func (p *Plan) waterLines(w *writer) {
	x := &p.Water
	w.amount("water that wets the base", x.BareKg, w.kg, x.Source)
	if x.PutIn {
		w.amount("water over the base", x.CoverMM, w.mm, fmt.Sprintf("%s put in", w.kg(p.Ask.Given.FillKg)))
	}
	cold := amount.Times(x.FillKg, 1000/steam.Density(or(p.Ask.Site.TapC, usualTapC)))
	w.amount("water to put in", x.FillKg, w.kg, fmt.Sprintf("stands %s over the base when hot; the dish takes its room", w.mm(or(p.Ask.Given.CoverMM, DefaultCoverMM))))
	w.amount("the same in a jug, cold", cold, func(l float64) string { return amount.Volume(w.u, l) }, "density of water (IAPWS-IF97)")
}

func (p *Plan) timeLines(w *writer) {
	t := &p.Times
	if !math.IsNaN(p.BoilsC) {
		w.add("water boils at", w.u.Temp(p.BoilsC), "IAPWS-IF97, at the pressure of the day or the standard atmosphere")
		w.add("the hold counts from", w.u.Temp(p.FloorC), "the recipe, or 15 °C below the boiling point (common practice, no source)")
	}
	const heat = "own model of pan, oil and herb, with a hob of 650 to 1800 W unless you said"
	w.amount("boil after", t.Boil, amount.Clock, heat)
	w.amount("hold begins after", t.Hold, amount.Clock, heat)
	for i, due := range t.TopUps {
		w.amount(fmt.Sprintf("water %d due after", i+1), due, amount.Clock, "the same model; eight minutes before the base is bare")
	}
	w.amount("end after", t.End, amount.Clock, "begin of the hold and its length; about two hours is common practice, no source")
	if p.Ask.Recipe.Complete().Macerations > 1 {
		w.amount("all macerations end after", t.All, amount.Clock, "half an hour between them (common practice, no source)")
	}
	w.amount("herb water that the hold drives off at most", p.DrivesKg, w.kg, "heat through the dish at the floor, latent heat of water (IAPWS-IF97)")
}

func (p *Plan) outLines(w *writer) {
	c := &p.ComesOut
	if c.Why != "" {
		w.add("oil that comes out", "cannot be said: "+c.Why, "none")
		return
	}
	const marc = "rules of thumb for what the marc keeps, half sure; and 1 to 5 % on dish and cloth, own estimate: weigh"
	w.amount("oil that comes out", c.Kg, w.kg, marc)
	w.amount("the same in bottles", c.Ml, w.ml, density+p.Goods.Oil.Source)
	w.amount("strength, dry herb to oil", c.Strength.OneTo, w.parts, "herb carried by the oil, each maceration added")
}
