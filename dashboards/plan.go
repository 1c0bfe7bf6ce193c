package dashboards

import (
	"io"
	"net/url"

	"bainward/rules"
	"bainward/rules/batch/briefing"
)

// PlanPage is the page on which a batch is planned: a form, and below it the
// plan that the form asked for, or why there is none.
type PlanPage struct {
	Site    string
	Version string
	Assets  string
	Demo    float64
	Baths   []string
	Recipes []string
	Phones  *Phones // nil: nobody is called
	Places  []Place
	Form    PlanForm
	Error   string
	Plan    *briefing.Briefing // nil: see Error
	Recipe  *PlanRecipe        // nil: nobody here may choose or make one
}

// PlanRecipe is what can be done with the recipe of a plan.
type PlanRecipe struct {
	Name    string
	Bath    string
	Set     bool   // the bath is set to it already
	Lit     bool   // the bath is lit, so that nothing can be chosen for it
	Own     bool   // made on the page, so that it can be changed
	Weights string // of the plan, for the form of a recipe: "&herb_g=250"
	Who     RecipeWho
}

// Make leads to an empty form with the weights of the plan.
func (p PlanRecipe) Make() string { return p.form("") }

// Copy leads to a form that holds a copy of the recipe.
func (p PlanRecipe) Copy() string { return p.form("&copy=" + url.QueryEscape(p.Name)) }

// Change leads to a form in which the recipe itself is changed.
func (p PlanRecipe) Change() string { return p.form("&change=" + url.QueryEscape(p.Name)) }

func (p PlanRecipe) form(of string) string {
	return "/recipe?bath=" + url.QueryEscape(p.Bath) + of + p.Weights
}

// PlanForm is what stands in the form, as it was typed.
type PlanForm struct {
	Bath   string
	Recipe string
	At     string
	Fields []PlanField
}

// PlanField is a weight that may be typed in.
type PlanField struct {
	Name  string // as in the address, with the unit at its end
	Label string
	Unit  string // g or oz
	Value string
}

// PlanFormOf puts what was asked for back into the form, in the unit in which it
// was asked; what was not asked for is in the site's.
func PlanFormOf(q url.Values, u rules.Units) PlanForm {
	f := PlanForm{Bath: q.Get("bath"), Recipe: q.Get("recipe"), At: q.Get("at")}
	units := []string{"g", "oz"}
	if u == rules.US {
		units = []string{"oz", "g"}
	}
	for _, w := range []struct{ name, label string }{{"herb", "Herb"}, {"oil", "Oil"}, {"water", "Water"}} {
		unit := units[0]
		if q.Get(w.name+"_"+unit) == "" && q.Get(w.name+"_"+units[1]) != "" {
			unit = units[1]
		}
		name := w.name + "_" + unit
		f.Fields = append(f.Fields, PlanField{Name: name, Label: w.label, Unit: unit, Value: q.Get(name)})
	}
	return f
}

// RenderPlan writes the page of the plan.
func (t *Pages) RenderPlan(w io.Writer, p PlanPage) error { return t.execute(w, "plan-page", p) }
