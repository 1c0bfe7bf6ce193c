package site

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bainward/rules"
	"bainward/rules/batch/recipe"
)

// anyRecipe is a recipe as somebody may write it, right or wrong.
func anyRecipe() *rapid.Generator[recipe.Written] {
	return rapid.Custom(func(t *rapid.T) recipe.Written {
		tame := rapid.Bool().Draw(t, "by somebody who takes care")
		most := rapid.IntRange(0, 3).Draw(t, "how much is written") // the less, the less excludes each other
		leftOut := func(name string) bool { return rapid.IntRange(0, 5).Draw(t, name+" is left out") > most }
		number := func(name string, usual ...float64) *float64 {
			if leftOut(name) {
				return nil
			}
			v := rapid.SampledFrom(usual).Draw(t, name)
			if !tame && rapid.IntRange(0, 9).Draw(t, name+" is odd") == 0 {
				v = rapid.Float64Range(-10, 2e5).Draw(t, name)
			}
			return &v
		}
		whole := func(name string, largest int64) *int64 {
			if leftOut(name) {
				return nil
			}
			v := rapid.Int64Range(0, largest).Draw(t, name)
			return &v
		}
		w := recipe.Written{
			Name:  rapid.SampledFrom([]string{"rosemary", "rosemary-2", "r", "Sage_3", "calendula", "nettle", "my oil", "", "Über"}).Draw(t, "name"),
			Herb:  rapid.SampledFrom([]string{"", "Calendula officinalis, flower", "Plantago", "nettle", "Urtica dioica, leaf", "St John's wort", "two\nlines"}).Draw(t, "herb"),
			Fresh: rapid.Bool().Draw(t, "fresh"),
			Oil:   rapid.SampledFrom([]string{"", "olive", "unheard-of"}).Draw(t, "oil"),
			HerbG: number("herb", 90, 220), OilML: number("ml", 800), OilG: number("g", 915), OilMeasuredAt: number("at", 20, 60),
			HerbBulkML: number("bulk", 900), SampleFreshG: number("fresh sample", 50), SampleDriedG: number("dried sample", 9.5),
			HoldMin: whole("hold", 1500), Macerations: whole("macerations", 12),
			FloorBelowBoiling: number("below", 15), FloorC: number("floor", 80, 99.6), CeilingC: number("ceiling", 85, 101),
		}
		if !leftOut("how it was dried") {
			oven := rapid.Bool().Draw(t, "oven")
			w.SampleOven = &oven
		}
		if !leftOut("how it is strained") {
			press := rapid.SampledFrom([]string{"none", "hand", "screw", "none", "", "hard"}).Draw(t, "press")
			w.Press = &press
		}
		if tame {
			takeCare(&w)
		}
		return w
	})
}

// takeCare leaves of a recipe what goes together: names that are names, and of two ways
// to say a thing one.
func takeCare(w *recipe.Written) {
	if strings.ContainsAny(w.Name, " Ü") || w.Name == "" {
		w.Name = "yarrow"
	}
	w.Herb = strings.ReplaceAll(w.Herb, "\n", " ")
	if w.OilML != nil {
		w.OilG = nil
	} else {
		w.OilMeasuredAt = nil
	}
	if w.SampleFreshG == nil || w.SampleDriedG == nil {
		w.SampleFreshG, w.SampleDriedG, w.SampleOven = nil, nil, nil
	}
	if w.FloorC != nil {
		*w.FloorC, w.FloorBelowBoiling = 80, nil
	}
	for _, n := range []*int64{w.HoldMin, w.Macerations} {
		if n != nil {
			*n = *n%5 + 1
		}
	}
	if w.Press != nil && *w.Press != "hand" {
		w.Press = nil
	}
}

// inFile writes a recipe as a table of the site file.
func inFile(w recipe.Written) string {
	var b strings.Builder
	b.WriteString("[[recipe]]\n")
	v := reflect.ValueOf(w)
	for i := range v.NumField() {
		key, omit, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
		f := v.Field(i)
		if omit != "" && f.IsZero() {
			continue
		}
		if f.Kind() == reflect.Pointer {
			f = f.Elem()
		}
		switch x := f.Interface().(type) {
		case string:
			fmt.Fprintf(&b, "%s = %q\n", key, x)
		case float64:
			text := plain(x)
			if !strings.ContainsAny(text, ".e") {
				text += ".0"
			}
			fmt.Fprintf(&b, "%s = %s\n", key, text)
		default:
			fmt.Fprintf(&b, "%s = %v\n", key, x)
		}
	}
	return b.String()
}

const bareSite = `[site]
name = "Alder Yard"
elevation_m = 120
[[bath]]
name = "north"
pan_inside_diameter_mm = 250
dish_outside_diameter_mm = 205
dish_base_height_mm = 30
oil_probe = "28-00000bbb9b13"
bath_probe = "28-000005fba71c"
`

// A recipe that the site file takes is taken from the page, with the same result, and
// the other way round; what is refused is refused for the same reasons.
func TestFileAndPageTakeTheSameRecipes(t *testing.T) {
	taken := 0
	rapid.Check(t, func(t *rapid.T) {
		w := anyRecipe().Draw(t, "recipe")
		made, problems := recipe.Check(w, recipe.Place{Known: true, Elevation: 120}, recipe.Keys())
		s, err := Parse("yard.toml", []byte(bareSite+inFile(w)))
		if (err == nil) != (len(problems) == 0) {
			t.Fatalf("the file says %v, the page %v of\n%s", err, problems, inFile(w))
		}
		if err != nil {
			for _, p := range problems {
				if !strings.Contains(err.Error(), p.Text) {
					t.Errorf("the file does not say %q but\n%v", p.Text, err)
				}
			}
			return
		}
		taken++
		inFile := s.Recipes[0]
		if inFile.Recipe != made.Recipe || inFile.Given != made.Given || !reflect.DeepEqual(inFile.Written, w) {
			t.Errorf("of the file it is\n%+v, of the page\n%+v", inFile, made)
		}
	})
	if taken < 10 {
		t.Errorf("%d recipes were taken: that shows nothing", taken)
	}
}

// Each recipe of the example file can be made on the page of that site, word for
// word.
func TestTheExamplesRecipesCanBeMadeOnThePage(t *testing.T) {
	s, err := Load(sites + "/alder-yard.toml")
	if err != nil || len(s.Recipes) < 2 {
		t.Fatalf("%v: %+v", err, s)
	}
	for _, r := range s.Recipes {
		made, problems := recipe.Check(r.Written, s.Place(), recipe.Form(rules.Metric))
		if len(problems) > 0 || made.Recipe != r.Recipe || made.Given != r.Given {
			t.Errorf("%s: %v\n%+v, want\n%+v", r.Name, problems, made, r)
		}
	}
}

// What was made on the page is chosen like any other, but by no name of the file and
// never unasked.
func TestRecipesMadeOnThePageStandBesideTheFiles(t *testing.T) {
	s := mustParse(t, designExample)
	make := func(name string) recipe.Recipe {
		return recipe.Recipe{Recipe: rules.Recipe{Name: name, HerbG: 77}.Complete()}
	}
	with := s.With(make("nettle"), make("RIBWORT-fresh"), make("Plain"))
	if got := strings.Join(with.Choices(), " "); got != "ribwort-fresh nettle" {
		t.Errorf("to choose from are %s", got)
	}
	if cfg, err := with.Config("north", "nettle"); err != nil || cfg.Recipe.HerbG != 77 || cfg.Limits != s.Limits {
		t.Errorf("made by %+v, %v", cfg.Recipe, err)
	}
	if cfg, err := with.Config("north", ""); err != nil || cfg.Recipe.Name != "ribwort-fresh" {
		t.Errorf("unasked it is made by %+v, %v", cfg.Recipe, err)
	}
	if bare, err := mustParse(t, bareSite).With(make("nettle")).Config("north", ""); err != nil || bare.Recipe.Name != "plain" {
		t.Errorf("unasked, without a recipe in the file, it is made by %+v, %v", bare.Recipe, err)
	}
	if _, err := s.Config("north", "nettle"); err == nil {
		t.Error("the site without it knows it all the same")
	}
	if _, ok := with.Find(""); ok {
		t.Error("a recipe without a name is found")
	}
}
