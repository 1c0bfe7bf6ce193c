package guide

import (
	"fmt"
	"math"
	"time"

	"bainward/rules"
	"bainward/rules/batch/ledger"
	"bainward/sensors"
)

// hereOn reports whether maceration p is on the heat.
func (w *writer) hereOn(p int) bool { return p == w.pass() && w.Now.Phase.Lit() }

// recharge puts fresh herb into the oil for maceration p.
func (w *writer) recharge(p int) Step {
	s := Step{Key: Recharge, Pass: p, Title: "New herb into the same oil, heat on"}
	if d, ok := w.Trail.find(rules.Recharge, p); ok {
		s.doneBy(d.When, d.Who)
		return s
	}
	if p <= w.pass() {
		s.doneBy(time.Time{}, "")
		return s
	}
	s.Say = []string{"Put the new herb into the strained oil, set the dish back on its support and light the heat again. This maceration has a hold of its own."}
	s.Cautions = []string{
		"The oil is hot: let the herb in with a spoon, a little at a time. Wet herb spits.",
		"Look at the water before you light: the base of the dish must be covered.",
	}
	if p == w.pass()+1 && w.off(p-1) && w.Now.Phase != rules.Bottled {
		s.Form = w.event(rules.Recharge, "Herb is in, heat is on", "that the next maceration begins")
	}
	return s
}

// warm waits until the oil is at its floor.
func (w *writer) warm(p int) Step {
	s := Step{Key: Warm, Pass: p, Title: "Warm it up"}
	if i := p - 1; i < len(w.Trail.begun) && !w.Trail.begun[i].IsZero() {
		s.doneBy(w.Trail.begun[i], "")
		return s
	}
	if p < w.pass() || p == w.pass() && (w.Now.Phase == rules.Holding || w.off(p)) {
		s.doneBy(time.Time{}, "")
		if w.off(p) {
			s.Did = []string{"the oil never came to its floor"}
		}
		return s
	}
	s.Say = []string{"The hold begins by itself when the oil is at " + w.floor() + "."}
	s.Live = []string{"oil", "bath"}
	if !w.hereOn(p) {
		return s
	}
	if r := w.Now.ToFloorS; r.Known() && r.P50 > 0 {
		s.Say = append(s.Say, "That is in about "+lasting(r)+".")
	}
	if w.has(rules.TurnDown, p) {
		s.Say = append(s.Say, "It simmers; the oil follows some degrees behind.")
		return s
	}
	switch bath := w.Now.Celsius[sensors.Bath]; {
	case math.IsNaN(bath):
		s.Say = append(s.Say, "When the water boils, turn down until it only simmers.")
	case bath < w.Now.BoilingC-soonBoilsC:
		s.Say = append(s.Say, "When the water boils, turn down to a simmer. It is not there yet.")
		return s
	case bath < w.Now.BoilingC-nearBoilC:
		s.Say = append(s.Say, "Soon the water boils: then turn down until it only simmers.")
	default:
		s.Say = append(s.Say, "The water boils: turn down until it only simmers.")
	}
	s.Form = w.event(rules.TurnDown, "Turned down to a simmer", "when the heat was turned down")
	return s
}

// floor is from where the hold counts. Before the first reading nobody knows the
// boiling point, on which it may depend.
func (w *writer) floor() string {
	if !(w.Now.FloorC > 0) {
		return "its floor"
	}
	return w.u.Temp(w.Now.FloorC)
}

// nearBoilC: so close below the boiling point water is taken to boil, K.
// Further than soonBoilsC below nobody turns down (own choice).
const nearBoilC, soonBoilsC = 1.5, 15.0

// hold keeps the oil hot.
func (w *writer) hold(p int) Step {
	s := Step{Key: Hold, Pass: p, Title: "Hold it"}
	here := p == w.pass()
	if w.off(p) || here && w.Now.Phase == rules.Holding && w.held() {
		when := time.Time{}
		if d, ok := w.Trail.find(rules.Strain, p); ok {
			when = d.When
		}
		s.doneBy(when, "")
		s.Did = w.holdDone(p)
		return s
	}
	s.Say = []string{fmt.Sprintf("The oil stays at %s or above for %s. Keep the water at a simmer.", w.floor(), rules.Minutes(w.Now.HoldAsked))}
	s.Live = []string{"hold", "hold_note", "to_bare"}
	if !w.hereOn(p) {
		return s
	}
	s.Say = append(s.Say, "When water is due, pour in hot water and say how much it was.")
	if !w.has(rules.TurnDown, p) {
		s.Say = append(s.Say, "Nobody said yet that the heat was turned down to a simmer.")
	}
	s.Cautions = []string{"A dry hot pan gets no cold water: heat off first."}
	water := w.jug("quantity", "How much, if measured", 0)
	if w.Now.Asks {
		water = w.jug("quantity", "How much was it", w.Now.AskedKg)
		water.From, water.Required = "as the bath shows", true
		s.Say[len(s.Say)-1] = "Water was seen going in: say how much it was."
	}
	s.Form = w.event(rules.TopUp, "Water was added", "how much water was added, and when", water)
	return s
}

// holdDone says how long maceration p was held, and whether that was enough.
func (w *writer) holdDone(p int) []string {
	if p > len(w.Trail.held) {
		return nil
	}
	h := w.Trail.held[p-1]
	if p == w.pass() {
		h = w.Now.Hold
	}
	did := rules.Minutes(h) + " of " + rules.Minutes(w.Now.HoldAsked)
	if h+holdSlack < w.Now.HoldAsked {
		return []string{did + ": too short"}
	}
	return []string{did}
}

// holdSlack is how much a hold may lack and still be done, as in package rules.
const holdSlack = 10 * time.Second

// strain takes the dish off the heat and the herb out of the oil.
func (w *writer) strain(p int) Step {
	s := Step{Key: Strain, Pass: p, Title: "Heat off, then strain"}
	if d, ok := w.Trail.find(rules.Strain, p); ok {
		s.doneBy(d.When, d.Who)
		return s
	}
	if w.off(p) {
		s.doneBy(time.Time{}, "")
		return s
	}
	s.Say = []string{
		"Turn the heat off. Lift the dish out of the water and pour the oil through a cloth.",
		"Let it drip without pressing: pressed herb gives up its water, too.",
	}
	s.Cautions = []string{"Hot oil clings and burns: gloves, heat off, then carry the dish."}
	if !w.hereOn(p) {
		return s
	}
	s.Form = w.event(rules.Strain, "Heat is off, herb is strained", "when the heat went off and the herb came out, and how long the hold was")
	if !w.held() {
		left := rules.Minutes(w.Now.HoldAsked - w.Now.Hold)
		s.Form.Caution = "The hold is not done: " + left + " to go. Strained now, the batch is too short."
	}
	return s
}

// marc weighs the spent herb.
func (w *writer) marc(p int) Step {
	s := Step{Key: Marc, Pass: p, Title: "Weigh the spent herb", Optional: true}
	if all := w.weighed(ledger.Marc, p); len(all) > 0 {
		s.weighingsDone(all)
		return s
	}
	s.Say = []string{
		"When it has stopped dripping, weigh the wet herb.",
		"What it weighs beyond the herb is oil that stays in it; without it the strength is reckoned by a rule of thumb.",
	}
	if w.open && w.off(p) {
		s.Form = w.weighing(ledger.Marc, p, w.weight("quantity", "Spent herb, wet", 0, false), "It is weighed", "what the spent herb weighs")
		s.Go = "Not weighed: go on"
	}
	return s
}

// weighing is the form that enters a weighing of maceration p.
func (w *writer) weighing(what ledger.Weighed, p int, much Field, button, records string) *Form {
	return &Form{To: ToWeighing, Fixed: map[string]any{"what": string(what), "pass": p}, Fields: []Field{much}, Button: button, Records: records}
}

func (s *Step) weighingsDone(all []ledger.Entered[ledger.Weighing]) {
	for _, m := range all {
		s.doneBy(m.When, m.Who)
		s.Did = append(s.Did, m.Fact.Quantity.String())
	}
}
