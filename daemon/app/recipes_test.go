package app

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"bainward/daemon/record"
	"bainward/daemon/record/verify"
	"bainward/daemon/site"
	"bainward/daemon/web"
	"bainward/rules"
	"bainward/rules/batch/recipe"
)

func to[T any](v T) *T { return &v }

// nettle is a recipe that somebody makes on the page.
func nettle(herbG float64) recipe.Written {
	return recipe.Written{Name: "nettle", Herb: "Urtica dioica, leaf", Fresh: true, HerbG: &herbG, Oil: "olive", OilG: to(700.0), HoldMin: to(int64(20))}
}

func (k *kitchen) make(w recipe.Written, replaces int64) {
	k.t.Helper()
	if err := k.app.MakeRecipe(k.t.Context(), w, replaces, "Robin"); err != nil {
		k.t.Fatal(err)
	}
}

func (k *kitchen) choose(name string) {
	k.t.Helper()
	if err := k.app.Recipe(k.t.Context(), "north", name, "Sorrel"); err != nil {
		k.t.Fatal(err)
	}
}

// newest is the recipe of that name as the daemon lists it.
func (k *kitchen) newest(name string) web.Recipe {
	k.t.Helper()
	for _, r := range k.app.Recipes() {
		if r.Name == name && !r.OfFile {
			return r
		}
	}
	k.t.Fatalf("no recipe %s", name)
	return web.Recipe{}
}

// offered is the quantity that a step of the guide offers.
func (k *kitchen) offered(step string) string {
	k.t.Helper()
	g, err := k.app.Guide(k.t.Context(), "north")
	if err != nil {
		k.t.Fatal(err)
	}
	for _, s := range g.Steps {
		if s.ID() != step || s.Form == nil {
			continue
		}
		for _, f := range s.Form.Fields {
			if f.Name == "quantity" {
				return f.Value
			}
		}
	}
	return ""
}

// What was made on the page can be planned and chosen beside the site file's, by who
// made it and who chose it, and after a restart it is there still.
func TestARecipeIsMadeChosenAndKept(t *testing.T) {
	k := newKitchen(t)
	k.make(nettle(250), 0)
	k.choose("nettle")
	for _, when := range []string{"at once", "after a restart"} {
		if got := strings.Join(k.app.Site().Recipes, " "); got != "ribwort marigold nettle" {
			t.Errorf("%s there are %s", when, got)
		}
		p, err := k.app.Plan(t.Context(), web.PlanAsk{Bath: "north", Recipe: "nettle"})
		if err != nil || p.Goods.HerbKg != 0.25 || p.Goods.OilKg.P50 != 0.7 {
			t.Errorf("%s it is planned with %g kg of herb, %v", when, p.Goods.HerbKg, err)
		}
		if got := k.app.baths[0].cfg.Recipe; got.HerbG != 250 || got.Hold != 20*time.Minute {
			t.Errorf("%s the bath is set to %+v", when, got)
		}
		if made := k.newest("nettle"); made.Who != "Robin" || made.Entry == 0 || made.Retired {
			t.Errorf("%s it is %+v", when, made)
		}
		before := k.count(record.KindConfig)
		k.restart(time.Second)
		if after := k.count(record.KindConfig); after != before {
			t.Errorf("a restart wrote %d configs, though nothing changed", after-before)
		}
	}
	var by []string
	for _, e := range k.entries() {
		var c record.Config
		if e.Kind == record.KindConfig && e.Decode(&c) == nil && c.By != "" {
			by = append(by, c.Recipe.Name+" by "+c.By)
		}
	}
	if fmt.Sprint(by) != "[nettle by Sorrel]" {
		t.Errorf("the record says %v", by)
	}
	checkRefold(t, k.entries())
}

// A recipe that cannot be made, or that nobody stands for, leaves nothing behind.
func TestAWrongRecipeLeavesNothingBehind(t *testing.T) {
	k := newKitchen(t)
	k.make(nettle(250), 0)
	wrong, taken, plain, other := nettle(0), nettle(250), nettle(250), nettle(250)
	wrong.Name, taken.Name, plain.Name, other.Name = "sage", "Ribwort", "plain", "NETTLE"
	before := len(k.entries())
	for _, c := range []struct {
		w        recipe.Written
		replaces int64
		who      string
		says     string
	}{
		{wrong, 0, "Robin", "herb_g = 0 must be from 1"},
		{taken, 0, "Robin", `"Ribwort" is taken: the site file has a recipe of that name`},
		{plain, 0, "Robin", `"plain" is taken`},
		{other, 0, "Robin", "a recipe is called nettle already"},
		{nettle(200), 0, "Robin", "was made on the page already; change that one"},
		{nettle(200), 999, "Robin", "look at it again before you change it"},
		{nettle(200), k.newest("nettle").Entry, "", "who enters it?"},
	} {
		if err := k.app.MakeRecipe(t.Context(), c.w, c.replaces, c.who); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v, want %q", err, c.says)
		}
	}
	for name, says := range map[string]string{"ribwort": "of the site file", "comfrey": "no such recipe"} {
		if err := k.app.RetireRecipe(t.Context(), name, "Robin"); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("retiring %s: %v, want %q", name, err, says)
		}
	}
	if n := len(k.entries()); n != before {
		t.Errorf("%d entries were written", n-before)
	}
	if _, ok := errors.AsType[*web.RecipeError](k.app.MakeRecipe(t.Context(), wrong, 0, "Robin")); !ok {
		t.Error("what is wrong is not told field by field")
	}
}

// A changed recipe is a new entry: a bath that waits goes by it at once, a batch in
// hand goes on as it was begun, here and after a restart.
func TestAChangeIsForTheNextBatch(t *testing.T) {
	k := newKitchen(t)
	k.make(nettle(250), 0)
	k.choose("nettle")
	k.make(nettle(200), k.newest("nettle").Entry)
	if got := k.app.baths[0].cfg.Recipe.HerbG; got != 200 {
		t.Errorf("a waiting bath goes by %g g", got)
	}
	k.did("fill 1.8 kg")
	k.make(nettle(300), k.newest("nettle").Entry)
	for _, when := range []string{"at once", "after a restart", "lit", "lit, after a restart"} {
		if got := k.app.baths[0].cfg.Recipe.HerbG; got != 200 {
			t.Errorf("%s the batch in hand goes by %g g", when, got)
		}
		if offered := k.offered("herb-1"); when == "at once" && offered != "200" {
			t.Errorf("the guide offers %q of herb", offered)
		}
		if when == "after a restart" {
			k.did("charge; light")
		} else {
			k.restart(time.Second)
		}
	}
	if n := k.count(record.KindRecipe); n != 3 {
		t.Errorf("%d recipes in the record, want all three as they were", n)
	}
	checkRefold(t, k.entries())
}

// A retired recipe cannot be chosen. A bath that is set to it stays so, after a
// restart too, and it can be made again.
func TestARetiredRecipeIsNotChosen(t *testing.T) {
	k := newKitchen(t)
	k.make(nettle(250), 0)
	k.choose("nettle")
	if err := k.app.RetireRecipe(t.Context(), "nettle", "Robin"); err != nil {
		t.Fatal(err)
	}
	if err := k.app.Recipe(t.Context(), "north", "nettle", "Robin"); err == nil || !strings.Contains(err.Error(), "it has ribwort, marigold") {
		t.Errorf("chosen: %v", err)
	}
	if err := k.app.RetireRecipe(t.Context(), "nettle", "Robin"); err == nil || !strings.Contains(err.Error(), "already") {
		t.Errorf("retired twice: %v", err)
	}
	k.restart(time.Second)
	if got := k.app.baths[0].cfg.Recipe; got.Name != "nettle" || got.HerbG != 250 {
		t.Errorf("the bath is set to %+v", got)
	}
	if !k.newest("nettle").Retired {
		t.Error("it stands again after a restart")
	}
	k.make(nettle(220), 0)
	if k.newest("nettle").Retired || k.app.baths[0].cfg.Recipe.HerbG != 220 {
		t.Errorf("made again it is %+v, and the bath is set to %+v", k.newest("nettle"), k.app.baths[0].cfg.Recipe)
	}
	checkRefold(t, k.entries())
}

// A batch goes on by the recipe of the page when the site file gets one of that name,
// which counts from the next batch on, and that is said.
func TestTheSiteFileTakesANameForTheNextBatch(t *testing.T) {
	k := newKitchen(t)
	k.make(nettle(250), 0)
	k.choose("nettle")
	k.hold()
	k.kill()
	more, err := site.Parse("alder.toml", []byte(kitchenSite+"[[recipe]]\nname = \"nettle\"\nherb_g = 100\nhold_min = 60\n"))
	if err != nil {
		t.Fatal(err)
	}
	k.site = more
	k.start()
	if got := k.app.baths[0].cfg.Recipe; got.HerbG != 250 || got.Hold != 20*time.Minute {
		t.Errorf("the batch goes on by %+v", got)
	}
	warnings := k.app.recipes().Warnings()
	if len(warnings) != 1 || !strings.Contains(warnings[0], "recipe nettle, made by Robin in entry") || !strings.Contains(warnings[0], "the site file has a recipe of that name, and that one counts") {
		t.Errorf("it is said %q", warnings)
	}
	k.pollFor(20 * time.Minute)
	if v := k.bath().Rules.Verdict(); v != rules.Held {
		t.Errorf("after twenty minutes more the verdict is %s, want held: the page's recipe asks for no more", v)
	}
	k.did("strain; bottle 640 ml")
	k.choose("nettle")
	if got := k.app.baths[0].cfg.Recipe; got.HerbG != 100 {
		t.Errorf("the next batch is made by %+v", got)
	}
	checkRefold(t, k.entries())
}

// A record in which recipes were made, changed, chosen and retired is sound to the
// verifier, and all in it follows from what was measured.
func TestARecordWithRecipesIsSound(t *testing.T) {
	k := newKitchen(t)
	k.make(nettle(250), 0)
	k.choose("nettle")
	k.hold()
	k.make(nettle(200), k.newest("nettle").Entry)
	k.restart(time.Second)
	k.pollFor(20 * time.Minute)
	k.did("strain; bottle 640 ml")
	k.make(nettle(180), k.newest("nettle").Entry) // for the next batch
	if err := k.app.RetireRecipe(t.Context(), "nettle", "Robin"); err != nil {
		t.Fatal(err)
	}
	k.did("fill 1.8 kg; charge 180 g; light")
	k.pollFor(time.Minute)
	k.kill()
	defer k.start() // so that there is something to clean up
	report, err := verify.Folder(t.Context(), k.dir, verify.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range report.Findings {
		t.Errorf("found: %+v", f)
	}
}
