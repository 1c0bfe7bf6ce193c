package record

import (
	"reflect"
	"strings"
	"testing"

	"bainward/rules"
	"bainward/rules/batch/recipe"
)

// A recipe comes back from the record as it was written down: what was left out is
// not there.
func TestARecipeIsKept(t *testing.T) {
	herb, hold := 250.5, int64(90)
	kept := Recipe{State: RecipeChanged, Recipe: recipe.Written{Name: "nettle", Fresh: true, HerbG: &herb, HoldMin: &hold}, Replaces: 7, By: "Robin"}
	r := openIn(t, t.TempDir())
	appendTo(t, r, must(Of(0, nine, "", kept)))
	all := must(r.OfKind(t.Context(), KindRecipe))
	if len(all) != 1 {
		t.Fatalf("%d recipes in the record", len(all))
	}
	var got Recipe
	if err := all[0].Decode(&got); err != nil || !reflect.DeepEqual(got, kept) {
		t.Errorf("it comes back as %+v, %v", got, err)
	}
	if want := `{"state":"changed","recipe":{"name":"nettle","fresh":true,"herb_g":250.5,"hold_min":90},"replaces":7,"by":"Robin"}`; string(all[0].Body) != want {
		t.Errorf("the record has\n%s, want\n%s", all[0].Body, want)
	}
}

// What would leave its reader in doubt is refused.
func TestARecipeMustBeWhole(t *testing.T) {
	for want, spoil := range map[string]func(*Recipe){
		"recipe state":                    func(b *Recipe) { b.State = "altered" },
		"no name":                         func(b *Recipe) { b.Recipe.Name = "" },
		"nobody stands":                   func(b *Recipe) { b.By = "" },
		"made in the place of entry 7":    func(b *Recipe) { b.Replaces = 7 },
		"retired in the place of entry 0": func(b *Recipe) { b.State = RecipeRetired },
	} {
		b := Recipe{State: RecipeMade, Recipe: recipe.Written{Name: "nettle"}, By: "Robin"}
		spoil(&b)
		if _, err := Of(0, nine, "", b); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", want, err)
		}
	}
}

// A config of before it was noted who chose its recipe is read as it always was, and
// one that names nobody is written so.
func TestAnOldConfigNamesNobody(t *testing.T) {
	e := must(Of(0, nine, "north", Config{Config: rules.Config{Bath: "north"}}))
	if strings.Contains(string(e.Body), `"by"`) {
		t.Errorf("the record has %s", e.Body)
	}
	var b Config
	if err := e.Decode(&b); err != nil || b.By != "" || b.Bath != "north" {
		t.Errorf("it is read as %+v, %v", b, err)
	}
	chosen := must(Of(0, nine, "north", Config{Config: b.Config, By: "Robin"}))
	if err := chosen.Decode(&b); err != nil || b.By != "Robin" || b.Bath != "north" {
		t.Errorf("chosen by Robin it is read as %+v, %v", b, err)
	}
}
