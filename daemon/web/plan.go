package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"bainward/dashboards"
	"bainward/rules"
	"bainward/rules/batch"
	"bainward/rules/batch/amount"
	"bainward/rules/batch/briefing"
	"bainward/rules/fold"
)

// Planner is a View that can say what a batch would need, too. The page of the
// plan is there only if the View is one.
type Planner interface {
	// Plan reckons with what is known of the bath at this moment. Its errors are
	// shown as they are.
	Plan(ctx context.Context, ask PlanAsk) (batch.Plan, error)
}

// PlanAsk is which batch is to be planned. An empty Recipe is the site's first.
type PlanAsk struct {
	Bath   string
	Recipe string
	Change briefing.Change
}

func (s *server) plans() bool {
	_, is := s.view.(Planner)
	return is
}

func (s *server) planRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /plan", s.planPage)
	mux.HandleFunc("GET /api/plan", s.apiPlan)
}

// errNoBath is what is wrong with a plan for a bath that is not there.
var errNoBath = errors.New("no such bath")

// planPage shows the form, and below it the plan that it asks for. It loads no
// script: everything on it can be read and printed as it stands. Its forms that change
// something come back as the door's does.
func (s *server) planPage(w http.ResponseWriter, r *http.Request) {
	site := s.view.Site()
	p := dashboards.PlanPage{
		Site: site.Name, Version: site.Version, Demo: site.Demo, Assets: s.assets, Recipes: site.Recipes, Phones: s.phonesNow(),
		Places: s.places("/plan"),
		Form:   dashboards.PlanFormOf(r.URL.Query(), site.Units),
	}
	for _, b := range s.view.Snapshots() {
		p.Baths = append(p.Baths, b.Bath)
	}
	status := http.StatusOK
	b, err := s.plan(r.Context(), r.URL.Query())
	if err != nil {
		status, p.Error = planStatus(err), err.Error()
	} else {
		p.Plan = &b
		p.Form.Bath, p.Form.Recipe = b.Bath, b.Recipe
		p.Recipe = s.planRecipe(r, b.Bath, b.Recipe)
	}
	var out bytes.Buffer
	if err := s.pages.RenderPlan(&out, p); err != nil {
		s.trouble(w, r, err)
		return
	}
	s.sendForm(w, status, out.Bytes())
}

// planRecipe is what who asks may do with the recipe of a plan; nil for nothing.
func (s *server) planRecipe(r *http.Request, bath, name string) *dashboards.PlanRecipe {
	keeper, keeps := s.doer.(Recipes)
	if !keeps || !s.mayEnter(r) {
		return nil
	}
	p := &dashboards.PlanRecipe{Name: name, Bath: bath, Who: s.askWho()}
	if one, ok := recipeOf(keeper, name); ok {
		p.Own = !one.OfFile
	}
	if b, ok := s.find(bath); ok {
		p.Set, p.Lit = b.Recipe.Complete().Name == name, b.Phase.Lit()
	}
	for _, weight := range []string{"herb_g", "herb_oz", "oil_g", "oil_oz"} {
		if typed := strings.TrimSpace(r.URL.Query().Get(weight)); typed != "" {
			p.Weights += "&" + weight + "=" + url.QueryEscape(typed)
		}
	}
	return p
}

func (s *server) apiPlan(w http.ResponseWriter, r *http.Request) {
	b, err := s.plan(r.Context(), r.URL.Query())
	if err != nil {
		writeError(w, planStatus(err), err.Error())
		return
	}
	s.sendJSON(w, b)
}

func planStatus(err error) int {
	if errors.Is(err, errNoBath) {
		return http.StatusNotFound
	}
	return http.StatusBadRequest
}

// plan reckons what the query asks for, and puts it into words.
func (s *server) plan(ctx context.Context, q url.Values) (briefing.Briefing, error) {
	site := s.view.Site()
	ask, err := s.planAsk(q, site)
	if err != nil {
		return briefing.Briefing{}, err
	}
	lit := time.Now().In(site.Clock()).Truncate(time.Minute)
	if at := q.Get("at"); at != "" {
		if lit, err = briefing.ParseClock(at, lit); err != nil {
			return briefing.Briefing{}, fmt.Errorf("at: %w", err)
		}
	}
	planner, is := s.view.(Planner)
	if !is {
		return briefing.Briefing{}, errors.New("no batch can be planned here")
	}
	p, err := planner.Plan(ctx, ask)
	if err != nil {
		return briefing.Briefing{}, err
	}
	return briefing.Of(&p, briefing.About{Bath: ask.Bath, Units: site.Units, Lit: lit}), nil
}

// planAsk reads what is to be planned. Who names no bath means the first, and
// who names no recipe that which the bath is set to.
func (s *server) planAsk(q url.Values, site SiteInfo) (PlanAsk, error) {
	if err := onlyKnown(q); err != nil {
		return PlanAsk{}, err
	}
	bath, err := s.planBath(q.Get("bath"))
	if err != nil {
		return PlanAsk{}, err
	}
	ask := PlanAsk{Bath: bath.Bath, Recipe: q.Get("recipe")}
	known := append(slices.Clone(site.Recipes), rules.Recipe{}.Complete().Name)
	if ask.Recipe == "" && slices.Contains(known, bath.Recipe.Name) {
		ask.Recipe = bath.Recipe.Name
	}
	if ask.Recipe != "" && !slices.Contains(known, ask.Recipe) {
		return PlanAsk{}, fmt.Errorf("recipe=%q: this site has %s", ask.Recipe, strings.Join(known, ", "))
	}
	for _, w := range []struct {
		name string
		kg   *float64
	}{{"oil", &ask.Change.OilKg}, {"herb", &ask.Change.HerbKg}, {"water", &ask.Change.WaterKg}} {
		if *w.kg, err = weightOf(q, w.name); err != nil {
			return PlanAsk{}, err
		}
	}
	return ask, nil
}

func (s *server) planBath(name string) (fold.Snapshot, error) {
	baths := s.view.Snapshots()
	var names []string
	for _, b := range baths {
		if b.Bath == name || name == "" {
			return b, nil
		}
		names = append(names, b.Bath)
	}
	if len(names) == 0 {
		return fold.Snapshot{}, fmt.Errorf("%w: this site names none", errNoBath)
	}
	return fold.Snapshot{}, fmt.Errorf("%w as %q: this site has %s", errNoBath, name, strings.Join(names, ", "))
}

// onlyKnown refuses what it does not know: a slip such as oil_ml would be passed
// over, and the plan be for other oil than was meant.
func onlyKnown(q url.Values) error {
	known := []string{"bath", "recipe", "oil_g", "oil_oz", "herb_g", "herb_oz", "water_g", "water_oz", "at"}
	for name := range q {
		if !slices.Contains(known, name) {
			return fmt.Errorf("%s is unknown here; known are %s", name, strings.Join(known, ", "))
		}
	}
	return nil
}

// weightOf reads NAME_g or NAME_oz in kg; 0 if neither says anything.
func weightOf(q url.Values, name string) (float64, error) {
	g, oz := strings.TrimSpace(q.Get(name+"_g")), strings.TrimSpace(q.Get(name+"_oz"))
	word, unit, key := g, 0.001, name+"_g"
	switch {
	case g == "" && oz == "":
		return 0, nil
	case g != "" && oz != "":
		return 0, fmt.Errorf("%s_g and %s_oz exclude each other", name, name)
	case oz != "":
		word, unit, key = oz, amount.KgPerOunce, name+"_oz"
	}
	n, err := strconv.ParseFloat(strings.Replace(word, ",", ".", 1), 64) // a decimal comma, as many phones offer
	if err != nil {
		return 0, fmt.Errorf("%s=%q: want a number, such as 1.45", key, word)
	}
	if err := briefing.CheckWeight(name, n*unit); err != nil {
		return 0, fmt.Errorf("%s=%q: %w", key, word, err)
	}
	return n * unit, nil
}
