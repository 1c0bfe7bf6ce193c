package guide

import (
	"time"

	"bainward/rules"
	"bainward/rules/batch"
	"bainward/rules/batch/amount"
	"bainward/rules/batch/ledger"
	"bainward/rules/fold"
)

// In is all that is known of a bath and of the batch in it.
type In struct {
	Now     fold.Snapshot
	Account ledger.Account // of the batch Now.Batch; none if it is empty
	Trail   Trail          // what was done in that batch
	Checks  *Checks        // its checklist; nil: nobody went through it
	// Waiting is the checklist of a batch that has not begun. While the last one is
	// over but not closed it says that the maker has turned to the next.
	Waiting *Checks
	// Proven says how the alarms were proven to reach somebody in the last day, in
	// a clause; empty: they were not.
	Proven  string
	Called  bool         // people are called at all
	Plan    *batch.Plan  // nil: none was reckoned, as once the bath is lit
	Recipes []string     // of the site
	Stock   *Stock       // what earlier batches used; nil: nothing is known
	CoolsS  amount.Range // s until the oil may be bottled
}

// Guide is the way through one batch. Exactly one of its steps is present.
type Guide struct {
	Bath  string `json:"bath"`
	Batch string `json:"batch"` // empty while none is in hand
	Steps []Step `json:"steps"`
	// Strength says how strong the oil is so far, in sentences.
	Strength []string `json:"strength"`
	// Missing names what was passed over and is still to be entered.
	Missing []string `json:"missing"`
}

// Present returns the step that is to be done now.
func (g Guide) Present() Step {
	for _, s := range g.Steps {
		if s.Stands == Present {
			return s
		}
	}
	return Step{}
}

// Of returns the way through the batch in hand, or through the next one.
func Of(in In) Guide {
	w := writer{In: in, u: in.Now.Units}
	w.turn()
	g := Guide{Bath: in.Now.Bath, Batch: w.Now.Batch, Strength: w.strength(), Missing: []string{}}
	g.Steps = w.steps()
	present := w.present()
	passed := true
	for i := range g.Steps {
		s := &g.Steps[i]
		switch {
		case s.ID() == present:
			s.Stands, passed = Present, false
		case s.Stands == Done:
		case passed:
			s.Stands = Missed
		default:
			s.Stands = Ahead
		}
		if s.Stands == Missed && !s.Optional && s.Form != nil {
			g.Missing = append(g.Missing, s.Title)
		}
		s.complete()
	}
	return g
}

// Leads gives the links their addresses. A link whose page has none is left out.
func (g *Guide) Leads(address func(Page) string) {
	for i := range g.Steps {
		var kept []Link
		for _, l := range g.Steps[i].Links {
			if l.To = address(l.Page); l.To != "" {
				kept = append(kept, l)
			}
		}
		g.Steps[i].Links = kept
	}
}

// complete gives programs an empty list where there is nothing.
func (s *Step) complete() {
	for _, list := range []*[]string{&s.Say, &s.Cautions, &s.Did} {
		if *list == nil {
			*list = []string{}
		}
	}
	if s.Form != nil && s.Form.Fields == nil {
		s.Form.Fields = []Field{}
	}
}

// writer writes the steps of one batch.
type writer struct {
	In
	u rules.Units
	// last is how many macerations the batch has: as the recipe says, or more.
	last int
	// open: a batch is in hand, or over and not left yet.
	open bool
}

// turn settles which batch the guide is about.
func (w *writer) turn() {
	w.open = w.Now.Batch != ""
	if w.open && w.Now.Phase != rules.Idle && w.Now.Phase.Over() && w.Waiting != nil {
		w.open = false
	}
	if !w.open {
		w.Now.Batch, w.Now.Phase, w.Now.Pass = "", rules.Idle, 0
		w.Account, w.Trail, w.Checks = ledger.Account{}, Trail{}, w.Waiting
	}
	w.last = max(w.Now.Recipe.Complete().Macerations, w.pass())
}

// pass is the maceration that is going on; before any it is the first.
func (w *writer) pass() int { return max(1, w.Now.Pass) }

// steps lists all steps of the batch in the order of the work.
func (w *writer) steps() []Step {
	all := []Step{w.plan(), w.checklist(), w.fill()}
	for p := 1; p <= w.last; p++ {
		all = append(all, w.herb(p))
		if p == 1 {
			all = append(all, w.oil(), w.charge(), w.light())
		} else {
			all = append(all, w.recharge(p))
		}
		all = append(all, w.warm(p), w.hold(p), w.strain(p), w.marc(p))
	}
	if w.Now.Phase == rules.Abandoned {
		return append(all, w.givenUp(), w.next())
	}
	return append(all, w.settle(), w.oilOut(), w.cool(), w.bottle(), w.closing(), w.label(), w.shelf(), w.next())
}

// present returns the ID of the step that is to be done now.
func (w *writer) present() string {
	p := w.pass()
	switch w.Now.Phase {
	case rules.Idle:
		return w.preparing()
	case rules.Heating:
		return id(Warm, p)
	case rules.Holding:
		if w.held() {
			return id(Strain, p)
		}
		return id(Hold, p)
	case rules.Bottled:
		if len(w.Account.Bottles) == 0 {
			return id(Bottle, 0)
		}
		return id(Label, 0)
	case rules.Abandoned:
		return id(GivenUp, 0)
	}
	return w.strained(p)
}

// preparing is the step while nothing is lit.
func (w *writer) preparing() string {
	switch {
	case w.Checks == nil && !w.open:
		return id(Plan, 0)
	case w.Checks == nil:
		return id(Checklist, 0)
	case !w.has(rules.Fill, 1) && !w.has(rules.TopUp, 1):
		return id(Fill, 0)
	case len(w.materials(ledger.Herb, 1)) == 0 && !w.has(rules.Charge, 1):
		return id(Herb, 1)
	case len(w.materials(ledger.Oil, 0)) == 0 && !w.has(rules.Charge, 1):
		return id(Oil, 0)
	case !w.has(rules.Charge, 1):
		return id(Charge, 0)
	}
	return id(Light, 0)
}

// strained is the step while maceration p is off the heat.
func (w *writer) strained(p int) string {
	drips := w.Now.Phase == rules.Straining && len(w.weighed(ledger.Marc, p)) == 0
	switch {
	case len(w.Account.Bottles) > 0:
		return id(Close, 0)
	case drips:
		return id(Marc, p)
	case p < w.last && len(w.materials(ledger.Herb, p+1)) == 0:
		return id(Herb, p+1)
	case p < w.last:
		return id(Recharge, p+1)
	case len(w.weighed(ledger.OilOut, p)) > 0 && !w.isCool():
		return id(Cool, 0)
	case len(w.weighed(ledger.OilOut, p)) > 0:
		return id(Bottle, 0)
	case w.Now.Phase != rules.Cooling && len(w.weighed(ledger.Water, p)) == 0:
		return id(Settle, 0)
	}
	return id(OilOut, 0)
}

func id(k Key, pass int) string { return Step{Key: k, Pass: pass}.ID() }

// held reports whether the hold of the maceration that is going on is done.
func (w *writer) held() bool { return w.Now.Hold >= w.Now.HoldAsked }

// off reports whether maceration p came off the heat.
func (w *writer) off(p int) bool {
	if p < w.pass() {
		return true
	}
	switch w.Now.Phase {
	case rules.Straining, rules.Settling, rules.Cooling, rules.Bottled:
		return p == w.pass()
	}
	return false
}

// materials lists what was weighed in of a kind for maceration p; 0: for any.
func (w *writer) materials(what ledger.What, p int) (all []ledger.Entered[ledger.Material]) {
	for _, m := range w.Account.Materials {
		if m.Fact.What == what && (p == 0 || max(1, m.Fact.Pass) == p) {
			all = append(all, m)
		}
	}
	return all
}

// weighed lists what was weighed of maceration p.
func (w *writer) weighed(what ledger.Weighed, p int) (all []ledger.Entered[ledger.Weighing]) {
	for _, m := range w.Account.Weighings {
		if m.Fact.What == what && max(1, m.Fact.Pass) == p {
			all = append(all, m)
		}
	}
	return all
}

// doneBy marks a step as done.
func (s *Step) doneBy(when time.Time, who string) { s.Stands, s.When, s.Who = Done, when, who }
