package web

import (
	"encoding/json"
	"html"
	"net/http"
	"strings"
	"testing"

	"bainward/daemon/people"
	"bainward/rules"
)

// The page keeps what was typed, in the site's units, and leads to its plan.
func TestARecipeIsMadeOnThePage(t *testing.T) {
	v, c := newPlanningView(base("north")), newCook()
	v.site.Units = rules.US
	h := newHandler(t, v, c)
	body := page(t, h, "/recipe?bath=north&copy=ribwort-fresh&oil_oz=16")
	for _, want := range []string{`name="herb" value="Plantago lanceolata, leaf"`, `name="herb_oz" value="7.7603"`, `name="oil_oz" value="16"`, `name="oil_floz" value=""`, `name="name" value=""`, `name="bath" value="north"`} {
		if !strings.Contains(body, want) {
			t.Errorf("the form lacks %s", want)
		}
	}
	status, header, _ := sent(t, h, "/recipe", "bath", "north", "name", "ribwort-strong", "fresh", "fresh", "herb_oz", "8,5", "oil_oz", "16", "who", "Sorrel")
	if status != http.StatusSeeOther || header.Get("Location") != "/plan?bath=north&recipe=ribwort-strong" {
		t.Errorf("status %d, to %q", status, header.Get("Location"))
	}
	if got := nextDeed(t, c.fakeDoer); got != "make ribwort-strong in the place of 0 by Sorrel" {
		t.Errorf("the Doer was asked for %s", got)
	}
	// 8.5 oz of 28.349523125 g (NIST Handbook 44, appendix C).
	if got := *c.made.HerbG; got != 240.970947 {
		t.Errorf("kept are %v g of herb", got)
	}
}

// What is wrong stands beside its field, all that was typed stands in the form again,
// and nothing is kept.
func TestWrongRecipesAreShownAgain(t *testing.T) {
	c := newCook()
	h := newHandler(t, newPlanningView(base("north")), c)
	good := map[string]string{"name": "sage", "herb": "Salvia", "fresh": "dried", "herb_g": "90", "oil_g": "700", "who": "Sorrel"}
	for _, w := range []struct{ field, typed, says string }{
		{"name", "", "“Name” is missing: what people call this recipe"},
		{"name", "my sage", `"my sage" must be at most 40 letters`},
		{"herb_g", "many", `"many" is no number`},
		{"herb_g", "0,5", "0.5 g must be from 1 g to 100000 g"},
		{"oil_ml", "800", "exclude each other"},
		{"hold_min", "1.5", "is no whole number"},
		{"macerations", "11", "11 must be from 1 to 10"},
		{"floor_c", "99.9", "where water boils here: the oil never gets there"},
		{"sample_fresh_g", "50", "go together"},
		{"press", "hard", `"hard" must be`},
		{"who", "", "give a name or initials"},
	} {
		var fields []string
		for name, value := range good {
			if name != w.field {
				fields = append(fields, name, value)
			}
		}
		status, _, body := sent(t, h, "/recipe", append(fields, w.field, w.typed)...)
		text := html.UnescapeString(body)
		if status != http.StatusUnprocessableEntity || !strings.Contains(text, w.says) || strings.Count(text, `class="recipe-problem"`) != 1 {
			t.Errorf("%s = %q: status %d, want 422 and %q once in\n%s", w.field, w.typed, status, w.says, text)
		}
		if w.field != "herb_g" && !strings.Contains(text, `name="herb_g" value="90"`) || w.field != "press" && !strings.Contains(text, `name="`+w.field+`" value="`+w.typed+`"`) {
			t.Errorf("%s = %q: what was typed is gone", w.field, w.typed)
		}
	}
	status, _, body := sent(t, h, "/recipe", "name", "ribwort-fresh", "who", "Sorrel")
	if status != http.StatusConflict || !strings.Contains(html.UnescapeString(body), `"ribwort-fresh" is taken: take another`) {
		t.Errorf("a taken name: status %d", status)
	}
	select {
	case got := <-c.asked:
		t.Errorf("kept all the same: %s", got)
	default:
	}
}

// A recipe of the page is changed under its name, one of the site file only copied.
func TestOnlyThePagesOwnRecipesAreChanged(t *testing.T) {
	c := newCook()
	h := newHandler(t, newPlanningView(base("north")), c)
	body := page(t, h, "/recipe?change=nettle")
	if !strings.Contains(body, `<input type="hidden" name="replaces" value="41">`) || !strings.Contains(body, `<input type="hidden" name="name" value="nettle">`) {
		t.Errorf("the form does not change nettle:\n%s", body)
	}
	for path, want := range map[string]int{"/recipe?change=ribwort-fresh": 409, "/recipe?change=old": 409, "/recipe?copy=gone": 404, "/recipe?herb_g=many": 400, "/recipe?copy=plain": 200} {
		if status, _, _ := get(t, h, path); status != want {
			t.Errorf("%s: status %d, want %d", path, status, want)
		}
	}
	sent(t, h, "/recipe", "name", "nettle", "replaces", "41", "herb_g", "200", "who", "Sorrel")
	if got := nextDeed(t, c.fakeDoer); got != "make nettle in the place of 41 by Sorrel" {
		t.Errorf("the Doer was asked for %s", got)
	}
}

// From its plan a recipe is chosen for a bath, and from the list one is retired.
func TestARecipeIsChosenAndRetiredByForm(t *testing.T) {
	c := newCook()
	v := newPlanningView(base("north"))
	v.site.Recipes = append(v.site.Recipes, "nettle")
	h := newHandler(t, v, c)
	body := page(t, h, "/plan?bath=north&recipe=nettle&herb_g=300")
	for _, want := range []string{`href="/recipe?bath=north&amp;copy=nettle&amp;herb_g=300"`, `action="/recipe/chosen"`} {
		if !strings.Contains(body, want) {
			t.Errorf("the plan lacks %s", want)
		}
	}
	status, header, _ := sent(t, h, "/recipe/chosen", "bath", "north", "recipe", "nettle", "who", "Sorrel")
	if got := nextDeed(t, c.fakeDoer); status != http.StatusSeeOther || header.Get("Location") != "/bath/north" || got != "recipe north nettle by Sorrel" {
		t.Errorf("status %d, to %q, asked for %s", status, header.Get("Location"), got)
	}
	status, header, _ = sent(t, h, "/recipe/retired", "name", "nettle", "who", "Sorrel")
	if got := nextDeed(t, c.fakeDoer); status != http.StatusSeeOther || header.Get("Location") != "/recipes" || got != "retire nettle by Sorrel" {
		t.Errorf("status %d, to %q, asked for %s", status, header.Get("Location"), got)
	}
	if status, _, body := sent(t, h, "/recipe/retired", "name", "gone", "who", "Sorrel"); status != http.StatusConflict || !strings.Contains(body, "No such recipe") {
		t.Errorf("what is gone: status %d\n%s", status, body)
	}
	if status, _, _ := sent(t, h, "/recipe/chosen", "bath", "north", "recipe", "nettle"); status != http.StatusUnprocessableEntity {
		t.Errorf("chosen by nobody: status %d", status)
	}
}

// Programs list, make and retire recipes; each way to fail has a status of its own.
func TestProgramsMakeRecipes(t *testing.T) {
	c := newCook()
	h := newHandler(t, newPlanningView(base("north")), c)
	var all struct {
		Recipes []map[string]any
	}
	if err := json.Unmarshal([]byte(page(t, h, "/api/recipes")), &all); err != nil || len(all.Recipes) != 3 || all.Recipes[0]["of_file"] != true || all.Recipes[1]["entry"] != 41.0 || all.Recipes[2]["retired"] != true {
		t.Errorf("%v: %+v", err, all)
	}
	if status, _, body := get(t, h, "/api/recipe/nettle"); status != 200 || !strings.Contains(body, `"herb_g":250`) {
		t.Errorf("status %d: %s", status, body)
	}
	if status, _, _ := get(t, h, "/api/recipe/gone"); status != 404 {
		t.Errorf("status %d", status)
	}
	for _, w := range []struct {
		path, body string
		status     int
		says       string
	}{
		{"/api/recipes", `{"recipe":{"name":"sage","herb_g":90},"who":"AB"}`, 200, "kept: recipe sage"},
		{"/api/recipes", `{"recipe":{"name":"sage","herb_g":0,"hold_min":2000},"who":"AB"}`, 422, "herb_g = 0 must be from 1 to 100000; hold_min = 2000"},
		{"/api/recipes", `{"recipe":{"name":"ribwort-fresh"},"who":"AB"}`, 409, "is taken"},
		{"/api/recipes", `{"recipe":{"name":"sage"}}`, 400, "who enters it?"},
		{"/api/recipes", `{"recipe":{"name":"sage","herb_kg":1},"who":"AB"}`, 400, "herb_kg"},
		{"/api/recipe/nettle/retired", `{"who":"AB"}`, 200, "retired: recipe nettle"},
		{"/api/recipe/gone/retired", `{"who":"AB"}`, 404, "no such recipe"},
	} {
		status, body := post(h, w.path, w.body)
		if w.status == http.StatusUnprocessableEntity {
			r := request(http.MethodPost, w.path, w.body)
			r.Header.Set("Content-Type", "application/json")
			want := `"problems":[{"field":"herb_g","text":"herb_g = 0 must be from 1 to 100000"},{"field":"hold_min",`
			if got := served(h, r).Body.String(); !strings.Contains(got, want) {
				t.Errorf("the problems are not told field by field: %s", got)
			}
		}
		if status != w.status || !strings.Contains(body, w.says) {
			t.Errorf("%s %s: status %d, want %d; %s", w.path, w.body, status, w.status, body)
		}
	}
}

// Who only looks sees the recipes and no way to change any; a form sent all the same
// is refused.
func TestWhoOnlyLooksMakesNoRecipes(t *testing.T) {
	house := newDoorHouse(t)
	c := newCook()
	h := house.handler(t, func(o *Options) { o.Doer, o.View = c, newPlanningView(base("north")) })
	for role, may := range map[people.Role]bool{people.Viewer: false, people.Auditor: false, people.Maker: true, people.Keeper: true} {
		list := served(h, house.as(role, request(http.MethodGet, "/recipes", ""))).Body.String()
		plan := served(h, house.as(role, request(http.MethodGet, "/plan", ""))).Body.String()
		if !strings.Contains(list, "nettle") || strings.Contains(list, "/recipe?change") != may || strings.Contains(plan, "/recipe?bath") != may {
			t.Errorf("a %s sees\n%s", role, list)
		}
		if w := served(h, house.as(role, request(http.MethodGet, "/recipe", ""))); (w.Code == http.StatusOK) != may {
			t.Errorf("a %s asks for the form: %d", role, w.Code)
		}
		w := served(h, house.as(role, form("/recipe", "name", "sage", "who", "somebody else")))
		if (w.Code == http.StatusSeeOther) != may {
			t.Errorf("a %s makes a recipe: %d", role, w.Code)
		}
		if may {
			if got := nextDeed(t, c.fakeDoer); got != "make sage in the place of 0 by "+household[role] {
				t.Errorf("the Doer was asked for %s", got)
			}
		}
	}
}

// Another site's page cannot send the form.
func TestAnotherSitesPageMakesNoRecipe(t *testing.T) {
	h := newHandler(t, newPlanningView(base("north")), newCook())
	r := form("/recipe", "name", "sage", "who", "AB")
	r.Header.Set("Sec-Fetch-Site", "cross-site")
	if w := served(h, r); w.Code != http.StatusForbidden {
		t.Errorf("status %d", w.Code)
	}
}
