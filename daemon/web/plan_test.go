package web

import (
	"context"
	"encoding/json"
	"errors"
	"html"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"bainward/rules"
	"bainward/rules/batch"
	"bainward/rules/batch/amount"
	"bainward/rules/fold"
)

// planningView is a View that plans, too: a batch like that of base.
type planningView struct {
	*fakeView
	asked  PlanAsk
	refuse error
}

func newPlanningView(baths ...fold.Snapshot) *planningView {
	return &planningView{fakeView: newFakeView(baths...)}
}

func (v *planningView) Plan(_ context.Context, ask PlanAsk) (batch.Plan, error) {
	v.asked = ask
	b := base(ask.Bath)
	if ask.Recipe != "" {
		b.Recipe.Name = ask.Recipe
	}
	return batch.Reckon(ask.Change.On(batch.Ask{
		Recipe: b.Recipe, Rig: b.Rig, Site: batch.Site{Elevation: 120, Pascal: 100930, RoomC: 19}, Vessels: batch.Vessels{DishKg: 1.2},
	})), v.refuse
}

// The page says what the JSON says: weights, times by the clock, checks and
// cautions with their sources.
func TestThePlanIsOnThePage(t *testing.T) {
	h := newHandler(t, newPlanningView(base("north")), newFakeDoer())
	body := html.UnescapeString(page(t, h, "/plan?bath=north&at=09:00"))
	var plan struct {
		Bath, What      string
		Place, Unlooked []string
		Weigh, Yield    []struct{ Name, Amount string }
		Moments         []struct{ Moment, Text, Clock, Spread string }
		Checks          []struct{ Text, Why string }
		Cautions        []struct {
			Cautions []struct{ Text, Source string }
		}
		Figures  []struct{ Figure, Text, Source string }
		Warnings []struct{ Text string }
		Numbers  map[string]any
	}
	if err := json.Unmarshal([]byte(page(t, h, "/api/plan?bath=north&at=09:00")), &plan); err != nil {
		t.Fatal(err)
	}
	words := append(append([]string{plan.What}, plan.Place...), plan.Unlooked...)
	for _, i := range append(plan.Weigh, plan.Yield...) {
		words = append(words, i.Name, i.Amount)
	}
	for _, m := range plan.Moments {
		words = append(words, m.Text, m.Clock, m.Spread)
	}
	for _, c := range plan.Checks {
		words = append(words, c.Text, c.Why)
	}
	for _, g := range plan.Cautions {
		for _, c := range g.Cautions {
			words = append(words, c.Text, c.Source)
		}
	}
	for _, f := range plan.Figures {
		words = append(words, f.Text, f.Source)
	}
	if len(plan.Moments) < 5 || len(plan.Checks) < 6 || len(plan.Cautions) < 3 || len(words) < 80 {
		t.Fatalf("the plan is thin: %+v", plan)
	}
	for _, w := range words {
		if !strings.Contains(body, w) {
			t.Errorf("the page lacks %q", w)
		}
	}
	if plan.Moments[0].Clock != "09:00" || plan.Numbers["pressure_pa"] != 100930.0 {
		t.Errorf("the first moment is %+v, the pressure %v", plan.Moments[0], plan.Numbers["pressure_pa"])
	}
}

// Weights may be typed in grams or in ounces, with a point or a comma; what was
// typed stands in the form again.
func TestTypedWeightsReachThePlan(t *testing.T) {
	v := newPlanningView(base("north"), base("south"))
	h := newHandler(t, v, newFakeDoer())
	body := page(t, h, "/plan?bath=south&recipe=marigold-dried&oil_g=512,5&herb_g=90&water_g=&at=09:00")
	if v.asked.Bath != "south" || v.asked.Recipe != "marigold-dried" || v.asked.Change.OilKg != 0.5125 || v.asked.Change.HerbKg != 0.09 || v.asked.Change.WaterKg != 0 {
		t.Errorf("planned %+v", v.asked)
	}
	for _, want := range []string{`name="oil_g" value="512,5"`, `<option selected>south</option>`, `name="at" value="09:00"`} {
		if !strings.Contains(body, want) {
			t.Errorf("the form lacks %s", want)
		}
	}
	page(t, h, "/api/plan?oil_oz=16")
	if got := v.asked.Change.OilKg; got != 16*amount.KgPerOunce {
		t.Errorf("16 oz are %g kg", got)
	}
	v.site.Units = rules.US
	if body := page(t, h, "/plan?oil_oz=16&at=09:00"); !strings.Contains(body, `name="oil_oz" value="16"`) || !strings.Contains(body, "1 lb 0.0 oz") {
		t.Error("a US page does not plan in ounces")
	}
}

// Who names neither bath nor recipe gets the first bath and what it is set to,
// if the site still has that.
func TestThePlanTakesWhatTheBathIsSetTo(t *testing.T) {
	b := base("north")
	b.Recipe.Name = "marigold-dried"
	v := newPlanningView(b, base("south"))
	h := newHandler(t, v, newFakeDoer())
	page(t, h, "/plan")
	if v.asked.Bath != "north" || v.asked.Recipe != "marigold-dried" {
		t.Errorf("planned %+v", v.asked)
	}
	b.Recipe.Name = "gone"
	v.set(b)
	page(t, h, "/api/plan")
	if v.asked.Recipe != "" {
		t.Errorf("planned %+v, though the site has no such recipe", v.asked)
	}
}

// What cannot be planned is answered with the reason: the page keeps its form,
// programs get JSON, and neither gets a plan.
func TestBadAsksForAPlanSayWhatIsWrong(t *testing.T) {
	h := newHandler(t, newPlanningView(base("north")), newFakeDoer())
	for query, c := range map[string]struct {
		status int
		says   string
	}{
		"bath=west":           {404, `no such bath as "west": this site has north`},
		"recipe=nettle":       {400, `recipe="nettle": this site has ribwort-fresh, marigold-dried, plain`},
		"oil_g=many":          {400, `oil_g="many": want a number`},
		"oil_g=-5":            {400, `oil_g="-5": oil of -5 g: want a weight from 1 g to 100 kg`},
		"herb_g=0":            {400, `herb_g="0": herb of 0 g`},
		"water_oz=NaN":        {400, `water_oz="NaN": water of NaN g`},
		"water_g=1e9":         {400, `want a weight`},
		"oil_g=500&oil_oz=16": {400, "oil_g and oil_oz exclude each other"},
		"oil_ml=800":          {400, "oil_ml is unknown here; known are bath, recipe, oil_g"},
		"at=9":                {400, `at: lit at "9": want a time of day such as 09:00`},
		"at=25:00":            {400, "want a time of day"},
		"oil_g=%3Cscript%3E":  {400, "want a number"},
	} {
		status, header, body := get(t, h, "/api/plan?"+query)
		var e struct{ Error string }
		if err := json.Unmarshal([]byte(body), &e); err != nil || status != c.status || !strings.Contains(e.Error, c.says) || header.Get("Content-Type") != "application/json" {
			t.Errorf("%s: status %d, want %d; %q, want %q", query, status, c.status, body, c.says)
		}
		status, _, body = get(t, h, "/plan?"+query)
		if status != c.status || !strings.Contains(html.UnescapeString(body), c.says) || !strings.Contains(body, `name="oil_g"`) || strings.Contains(body, "plan-moments") || strings.Contains(body, "<script>") {
			t.Errorf("%s: status %d, want %d, and a page with its form and %q", query, status, c.status, c.says)
		}
	}
	if status, _, _ := get(t, newHandler(t, newPlanningView(), newFakeDoer()), "/plan"); status != http.StatusNotFound {
		t.Errorf("a site without a bath answers %d", status)
	}
}

// What the View refuses is shown as it is.
func TestARefusedPlanSaysWhy(t *testing.T) {
	v := newPlanningView(base("north"))
	v.refuse = errors.New("the site file was changed")
	if status, _, body := get(t, newHandler(t, v, newFakeDoer()), "/plan"); status != http.StatusBadRequest || !strings.Contains(body, "the site file was changed") {
		t.Errorf("status %d: %s", status, body)
	}
}

// An idle bath's page leads to the plan, a lit one's does not, and a View that
// cannot plan has neither link nor page.
func TestOnlyAnIdleBathLeadsToItsPlan(t *testing.T) {
	link := regexp.MustCompile(`<p data-plan( hidden)?><a class="to-bath" href="/plan\?bath=north">`)
	h := newHandler(t, newPlanningView(base("north"), holding("south")), newFakeDoer())
	if m := link.FindStringSubmatch(page(t, h, "/bath/north")); m == nil || m[1] != "" {
		t.Errorf("an idle bath: %q", m)
	}
	h = newHandler(t, newPlanningView(holding("north")), newFakeDoer())
	if m := link.FindStringSubmatch(page(t, h, "/bath/north")); m == nil || m[1] != " hidden" {
		t.Errorf("a lit bath: %q", m)
	}
	h = newHandler(t, newFakeView(base("north")), newFakeDoer())
	if link.MatchString(page(t, h, "/")) {
		t.Error("a link leads to a plan that is not there")
	}
	if status, _, _ := get(t, h, "/plan"); status != http.StatusNotFound {
		t.Errorf("GET /plan: status %d where nothing plans", status)
	}
}

// The page may send its own form, to us alone, and runs nothing.
func TestThePlanPageSendsOnlyItsForm(t *testing.T) {
	_, header, body := get(t, newHandler(t, newPlanningView(base("north")), newFakeDoer()), "/plan")
	csp := header.Get("Content-Security-Policy")
	if !strings.Contains(csp, "form-action 'self'") || !strings.Contains(csp, "default-src 'none'") || strings.Contains(csp, "unsafe") {
		t.Errorf("policy %q", csp)
	}
	if strings.Contains(body, "<script") || !strings.Contains(body, `method="get" action="/plan"`) {
		t.Error("the page runs a script, or has no form")
	}
	h := newHandler(t, newPlanningView(base("north")), newFakeDoer())
	for _, m := range regexp.MustCompile(`(?:src|href)="(/static/[^"]*)"`).FindAllStringSubmatch(body, -1) {
		if status, _, _ := get(t, h, m[1]); status != http.StatusOK {
			t.Errorf("GET %s: status %d", m[1], status)
		}
	}
}

// Every address and field of the plan is described.
func TestThePlanIsDescribed(t *testing.T) {
	h := newHandler(t, newPlanningView(base("north")), newFakeDoer())
	var plan map[string]json.RawMessage
	if err := json.Unmarshal([]byte(page(t, h, "/api/plan")), &plan); err != nil {
		t.Fatal(err)
	}
	var numbers map[string]any
	if err := json.Unmarshal(plan["numbers"], &numbers); err != nil || len(numbers) < 20 {
		t.Fatalf("%d numbers (%v)", len(numbers), err)
	}
	text := string(apiText)
	for field := range plan {
		if !strings.Contains(text, "`"+field+"`") {
			t.Errorf("API.md does not name the field %s", field)
		}
	}
	for field := range numbers {
		if !strings.Contains(text, "`"+field+"`") {
			t.Errorf("API.md does not name the number %s", field)
		}
	}
	for _, path := range []string{"`GET /plan`", "`GET /api/plan?"} {
		if !strings.Contains(text, path) {
			t.Errorf("API.md lacks %s", path)
		}
	}
}
