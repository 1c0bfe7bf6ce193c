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
	Form    PlanForm
	Error   string
	Plan    *briefing.Briefing // nil: see Error
}

// PlanForm is what stands in the form, as it was typed.
type PlanForm struct {
	Bath   string
	Recipe string
	At     string
	Unit   string // of the weights: g or oz; it ends their names, too
	Fields []PlanField
}

// PlanField is a weight that may be typed in.
type PlanField struct {
	Name  string // as in the address
	Label string
	Value string
}

// PlanFormOf puts what was asked for back into the form.
func PlanFormOf(q url.Values, u rules.Units) PlanForm {
	f := PlanForm{Bath: q.Get("bath"), Recipe: q.Get("recipe"), At: q.Get("at"), Unit: "g"}
	if u == rules.US {
		f.Unit = "oz"
	}
	for _, w := range []struct{ name, label string }{{"herb", "Herb"}, {"oil", "Oil"}, {"water", "Water"}} {
		name := w.name + "_" + f.Unit
		f.Fields = append(f.Fields, PlanField{name, w.label, q.Get(name)})
	}
	return f
}

// RenderPlan writes the page of the plan.
func (t *Pages) RenderPlan(w io.Writer, p PlanPage) error { return t.execute(w, "plan-page", p) }
