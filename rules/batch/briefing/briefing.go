package briefing

import (
	"slices"
	"time"

	"bainward/rules"
	"bainward/rules/batch"
	"bainward/rules/batch/cautions"
	"bainward/rules/batch/guide"
)

// About is what a briefing says beyond the plan's own figures.
type About struct {
	Bath  string
	Units rules.Units
	Lit   time.Time // when the heat is to be turned on
}

// Briefing is a plan for people. Words are in the reader's units, Numbers in
// kg, ml, s and °C whatever these are.
type Briefing struct {
	Bath     string       `json:"bath"`
	Recipe   string       `json:"recipe"`
	What     string       `json:"what"`  // herb and oil, in a clause
	Place    []string     `json:"place"` // sentences about pressure and room
	Lit      time.Time    `json:"lit"`
	Warnings []Warning    `json:"warnings"` // what is dangerous first
	Weigh    []Item       `json:"weigh"`
	Moments  []Moment     `json:"moments"` // in the order in which they come
	Untimed  string       `json:"untimed"` // why there are no moments; empty if there are
	Yield    []Item       `json:"yield"`
	Checks   []guide.Item `json:"checks"` // those of the guide, in its words
	Cautions []Group      `json:"cautions"`
	Unlooked []string     `json:"unlooked"` // sentences about what could not be judged
	Figures  []batch.Line `json:"figures"`  // every figure with its source
	Numbers  Numbers      `json:"numbers"`
}

// Item is something to weigh: the weight first, then what else there is to say
// of it. A volume names the temperature at which it holds.
type Item struct {
	Name   string   `json:"name"`
	Amount string   `json:"amount"`
	Notes  []string `json:"notes"`
}

// Group is the cautions of one kind.
type Group struct {
	Title    string             `json:"title"`
	Cautions []cautions.Caution `json:"cautions"`
}

// Of puts p into words.
func Of(p *batch.Plan, about About) Briefing {
	w := words{about.Units, p}
	b := Briefing{
		Bath: about.Bath, Recipe: p.Ask.Recipe.Complete().Name, What: w.what(), Place: w.place(), Lit: about.Lit,
		Weigh: w.weigh(), Yield: w.yield(), Cautions: groups(p.Ask.Recipe),
		Figures: p.Lines(about.Units), Numbers: numbersOf(p),
	}
	b.Warnings, b.Unlooked = w.judged()
	b.Moments = moments(p, about.Lit)
	if len(b.Moments) == 0 {
		b.Untimed = "No times can be told: for them the sizes of pan and dish and the oil must be known."
	}
	b.Checks = guide.Items(p.Ask.Recipe.Fresh)
	return b
}

// groups gathers the cautions of what the recipe names. A batch may be given
// away in the end, so the law is always told.
func groups(r rules.Recipe) []Group {
	asked := cautions.Preparation{Fresh: r.Fresh, GivenAway: true}
	if r.Herb != "" {
		asked.Herbs = []string{r.Herb}
	}
	if r.Oil != "" {
		asked.Oils = []string{r.Oil}
	}
	all := cautions.For(asked)
	var found []Group
	for _, k := range []struct {
		kind  cautions.Kind
		title string
	}{
		{cautions.OfHerb, "The herb"}, {cautions.OfOil, "The oil"}, {cautions.OfPreparation, "The preparation"}, {cautions.OfLaw, "The law"},
	} {
		other := func(c cautions.Caution) bool { return c.Kind != k.kind }
		if own := slices.DeleteFunc(slices.Clone(all), other); len(own) > 0 {
			found = append(found, Group{k.title, own})
		}
	}
	return found
}
