package guide

import (
	"strings"

	"bainward/rules"
	"bainward/rules/batch"
	"bainward/rules/batch/amount"
)

// plan is where the recipe is chosen and the plan read.
func (w *writer) plan() Step {
	s := Step{Key: Plan, Title: "Choose the recipe and plan"}
	if w.open || w.Checks != nil {
		s.doneBy(w.Account.Opened, "")
		s.Did = []string{w.recipe()}
		return s
	}
	s.Say = append(s.Say, "The bath is set to "+w.recipe()+".")
	s.Say = append(s.Say, w.planned()...)
	s.Cautions = w.warned()
	s.Links = []Link{{Page: PlanPage, Text: "The whole plan"}}
	if len(w.Recipes) > 1 {
		f := Field{Name: "recipe", Label: "Recipe", Kind: Choice, Value: w.Now.Recipe.Name, Required: true}
		for _, r := range w.Recipes {
			f.Choices = append(f.Choices, Option{r, r})
		}
		s.Form = &Form{To: ToRecipe, Fields: []Field{f}, Button: "Take another recipe", Records: "by which recipe the next batch is made"}
	}
	s.Go = "Go on with " + w.Now.Recipe.Name
	return s
}

// recipe names what is made: "ribwort-fresh: fresh Plantago lanceolata, leaf, in
// sunflower oil".
func (w *writer) recipe() string {
	r := w.Now.Recipe
	if r.Herb == "" || r.Oil == "" {
		return r.Complete().Name
	}
	return r.Complete().Name + ": " + state(r.Fresh) + " " + r.Herb + ", in " + strings.TrimSuffix(r.Oil, " oil") + " oil"
}

func state(fresh bool) string {
	if fresh {
		return "fresh"
	}
	return "dried"
}

// planned says what the plan comes to.
func (w *writer) planned() []string {
	p := w.Plan
	if p == nil {
		return nil
	}
	var say []string
	if kg := p.Goods.HerbKg; kg > 0 && p.Goods.OilKg.Known() {
		each := ""
		if w.last > 1 {
			each = " for each of " + words(w.last) + " macerations"
		}
		say = append(say, "Weigh in "+w.mass(kg)+" of "+state(p.Goods.Fresh)+" herb"+each+", and "+w.mass(p.Goods.OilKg.P50)+" of oil.")
	}
	if p.Times.All.Known() {
		say = append(say, "From lighting to the last straining it takes about "+amount.Say(p.Times.All, amount.Clock)+": somebody stays all that time.")
	}
	if p.ComesOut.Kg.Known() {
		say = append(say, "About "+w.mass(p.ComesOut.Kg.P50)+" of oil will come out.")
	}
	return say
}

// warned is what is wrong with the plan.
func (w *writer) warned() (all []string) {
	if w.Plan == nil {
		return nil
	}
	for i, f := range w.Plan.Findings {
		if f.Level == rules.Raised {
			all = append(all, w.Plan.Say(batch.Warning(i), w.u))
		}
	}
	return all
}

// checklist is what to see to before the heat is lit.
func (w *writer) checklist() Step {
	s := Step{Key: Checklist, Title: "Before you light"}
	fresh := w.Now.Recipe.Fresh
	f := &Form{To: ToChecklist, Button: "Record it", Records: "each of these, ticked or not, and who went through them"}
	for _, i := range Items(fresh) {
		t := Field{Name: "done", Kind: Tick, Value: i.Key, Label: i.Text, Hint: i.Why, Ticked: w.Checks != nil && w.Checks.Done[i.Key]}
		if i.Key == Alarms && w.Proven != "" {
			t.Ticked, t.From = true, w.Proven
		}
		f.Fields = append(f.Fields, t)
	}
	if w.Checks == nil {
		s.Say = []string{"Go through it at the bath. Tick what is so; what stays empty is recorded as not done."}
		if w.Now.Phase.Lit() || w.off(1) {
			s.Say = append(s.Say, "The heat was lit before anybody went through it.")
		}
		s.Form = f
		s.Links = w.toPhones()
		return s
	}
	s.doneBy(w.Checks.When, w.Checks.Who)
	undone := w.Checks.undone(fresh)
	if len(undone) == 0 {
		s.Did = []string{"all of it"}
		return s
	}
	for _, i := range undone {
		s.Did = append(s.Did, "not done: "+lower(i.Text))
	}
	f.Button, s.Form, s.Links = "Go through it again", f, w.toPhones()
	return s
}

// toPhones leads to where the alarms are proven, if nobody has of late.
func (w *writer) toPhones() []Link {
	if !w.Called || w.Proven != "" {
		return nil
	}
	return []Link{{Page: PhonesPage, Text: "Test the alarms"}}
}

// fill puts the water into the pan, which begins the batch.
func (w *writer) fill() Step {
	s := Step{Key: Fill, Title: "Water into the pan"}
	for _, k := range []rules.EventKind{rules.Fill, rules.TopUp} {
		if d, ok := w.Trail.find(k, 1); ok {
			s.doneBy(d.When, d.Who)
			s.Did = []string{w.quantity(d.Event.Quantity, "of water")}
			if k == rules.Fill {
				return s
			}
		}
	}
	if s.Stands == Done || !w.idle() {
		return s
	}
	s.Say = []string{"Weigh the water and put it into the pan. The dish stands in it later; its base must be covered."}
	water := w.weight("quantity", "Water", 0, true)
	if p := w.Plan; p != nil && p.Water.FillKg.Known() {
		water = w.weight("quantity", "Water", p.Water.FillKg.P50, true)
		water.From = "so the plan says"
		s.Say = append(s.Say, "The plan says "+w.mass(p.Water.FillKg.P50)+"; the base is just wet at "+w.mass(p.Water.BareKg.P50)+".")
	}
	s.Form = w.event(rules.Fill, "The water is in", "how much water went into the pan, and that a batch begins", water)
	return s
}

// idle reports whether nothing of the batch was lit yet.
func (w *writer) idle() bool { return w.Now.Phase == rules.Idle }

// charge puts herb and oil into the dish.
func (w *writer) charge() Step {
	s := Step{Key: Charge, Title: "Herb and oil into the dish"}
	if d, ok := w.Trail.find(rules.Charge, 1); ok {
		s.doneBy(d.When, d.Who)
		return s
	}
	if !w.open || !w.idle() {
		return s
	}
	s.Say = []string{
		"Chop the herb, put it into the dish and pour the oil over it until it is covered.",
		"Set the dish on its support in the water, one probe in the oil and one in the water.",
	}
	s.Cautions = []string{"The dish never stands on the floor of the pan: heated directly, oil burns."}
	if v := w.Plan; v != nil && v.Findings[batch.DishTooFull].Level == rules.Raised {
		s.Cautions = append(s.Cautions, v.Say(batch.DishTooFull, w.u))
	}
	s.Form = w.event(rules.Charge, "Herb and oil are in the dish", "that the dish is charged")
	return s
}

// light turns the heat on.
func (w *writer) light() Step {
	s := Step{Key: Light, Title: "Light the heat"}
	if d, ok := w.Trail.find(rules.Light, 1); ok {
		s.doneBy(d.When, d.Who)
		return s
	}
	if !w.open || !w.idle() {
		return s
	}
	s.Say = []string{"Light it, and stay. Full heat until the water boils."}
	if w.Checks != nil {
		for _, i := range w.Checks.undone(w.Now.Recipe.Fresh) {
			s.Cautions = append(s.Cautions, "Not ticked before lighting: "+i.Text)
		}
	}
	s.Cautions = append(s.Cautions, "Somebody stays with a lit bath.")
	s.Form = w.event(rules.Light, "The heat is on", "when the heat was lit, and by whom")
	return s
}

// event is the form that enters an event.
func (w *writer) event(k rules.EventKind, button, records string, fields ...Field) *Form {
	return &Form{To: ToEvent, Fixed: map[string]any{"event": k.String()}, Fields: fields, Button: button, Records: records}
}
