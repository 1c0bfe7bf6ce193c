package recipe_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/batch"
	"bainward/rules/batch/recipe"
)

func to[T any](v T) *T { return &v }

// yard is an ordinary recipe of the invented Alder Yard.
func yard() recipe.Written {
	return recipe.Written{
		Name: "ribwort-strong", Herb: "Plantago lanceolata, leaf", Fresh: true, HerbG: to(250.0), Oil: "sunflower", OilG: to(700.0),
		HoldMin: to(int64(150)), Macerations: to(int64(2)),
	}
}

// here lies so high that water boils at 99.6 °C (ISO 2533 and IAPWS-IF97).
var here = recipe.Place{Known: true, Elevation: 120}

// A recipe that can be made is complete: what was left out has its default, and
// weighed oil has a volume too, 700 g of sunflower oil some 0.76 l (0.909 to 0.923
// kg/l at 20 °C: Codex STAN 210-1999, from memory).
func TestWhatCanBeMadeIsComplete(t *testing.T) {
	r, problems := recipe.Check(yard(), here, recipe.Keys())
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if math.Abs(r.OilML-765) > 8 {
		t.Errorf("700 g of sunflower oil are %g ml", r.OilML)
	}
	r.OilML = 0
	want := recipe.Recipe{
		Recipe: rules.Recipe{Name: "ribwort-strong", Herb: "Plantago lanceolata, leaf", Fresh: true, HerbG: 250, Oil: "sunflower",
			Hold: 150 * time.Minute, Macerations: 2, FloorBelowBoiling: 15},
		Given: batch.Given{OilKg: 0.7},
	}
	if r != want {
		t.Errorf("it is\n%+v, want\n%+v", r, want)
	}
}

// Each thing that can be wrong is told at its field, in the words of who wrote it:
// the keys of the site file, or the labels and units of the form.
func TestEachProblemIsToldAtItsField(t *testing.T) {
	for _, c := range []struct {
		change    func(*recipe.Written)
		field     recipe.Field
		keys, us  string
		elsewhere bool // where the height is not known nothing is wrong
	}{
		{change: func(w *recipe.Written) { w.Name = "" }, field: recipe.Name, keys: "name is missing: what people call this recipe", us: "“Name” is missing"},
		{change: func(w *recipe.Written) { w.Name = "my oil" }, field: recipe.Name, keys: `name = "my oil" must be at most 40 letters`, us: `"my oil" must be at most 40 letters`},
		{change: func(w *recipe.Written) { w.Name = strings.Repeat("a", 41) }, field: recipe.Name, keys: "at most 40", us: "at most 40"},
		{change: func(w *recipe.Written) { w.Herb = "leaf\nroot" }, field: recipe.Herb, keys: "herb must be one line", us: "“Herb” must be one line"},
		{change: func(w *recipe.Written) { w.Oil = strings.Repeat("o", 121) }, field: recipe.Oil, keys: "oil must be one line of at most 120", us: "“Oil” must be one line"},
		{change: func(w *recipe.Written) { w.HerbG = to(0.5) }, field: recipe.HerbG, keys: "herb_g = 0.5 must be from 1 to 100000", us: "“Weight of the herb” 0.0176 oz must be from 0.0353 oz to 3527.4 oz"},
		{change: func(w *recipe.Written) { w.HerbG = to(math.NaN()) }, field: recipe.HerbG, keys: "herb_g is not a number", us: "is not a number"},
		{change: func(w *recipe.Written) { w.OilG = to(0.0) }, field: recipe.OilG, keys: "oil_g = 0 must be from 1", us: "0 oz must be from"},
		{change: func(w *recipe.Written) { w.OilML = to(700.0) }, field: recipe.OilG, keys: "oil_g and oil_ml exclude each other", us: "“Weight of the oil” and “Volume of the oil” exclude each other"},
		{change: func(w *recipe.Written) { w.OilG, w.OilML = nil, to(-1.0) }, field: recipe.OilML, keys: "oil_ml = -1 must be from 1", us: "-0.0338 fl oz must be from"},
		{change: func(w *recipe.Written) { w.OilMeasuredAt = to(20.0) }, field: recipe.OilMeasuredAt, keys: "means nothing without oil_ml", us: "means nothing without “Volume of the oil”"},
		{change: func(w *recipe.Written) { w.OilG, w.OilML, w.OilMeasuredAt = nil, to(700.0), to(4.0) }, field: recipe.OilMeasuredAt, keys: "oil_measured_at_c = 4 must be from 5 to 120", us: "39.2 °F must be from 41 °F to 248 °F"},
		{change: func(w *recipe.Written) { w.HerbBulkML = to(9.0) }, field: recipe.HerbBulkML, keys: "herb_bulk_ml = 9 for herb_g = 250 cannot be", us: "cannot be"},
		{change: func(w *recipe.Written) { w.HerbBulkML, w.HerbG = to(900.0), nil }, field: recipe.HerbBulkML, keys: "means nothing without herb_g", us: "means nothing without “Weight of the herb”"},
		{change: func(w *recipe.Written) { w.SampleFreshG = to(50.0) }, field: recipe.SampleDriedG, keys: "sample_fresh_g and sample_dried_g go together", us: "go together"},
		{change: func(w *recipe.Written) { w.SampleFreshG, w.SampleDriedG = to(50.0), to(50.0) }, field: recipe.SampleDriedG, keys: "must be less than sample_fresh_g = 50", us: "must be less than"},
		{change: func(w *recipe.Written) { w.SampleFreshG, w.SampleDriedG = to(50.0), to(0.0) }, field: recipe.SampleDriedG, keys: "sample_dried_g = 0 must be more than 0", us: "must be more than 0 oz"},
		{change: func(w *recipe.Written) { w.SampleFreshG, w.SampleDriedG = to(4.0), to(1.0) }, field: recipe.SampleFreshG, keys: "sample_fresh_g = 4 must be from 5", us: "must be from"},
		{change: func(w *recipe.Written) { w.Fresh, w.SampleFreshG, w.SampleDriedG = false, to(50.0), to(9.0) }, field: recipe.SampleFreshG, keys: "means nothing for dried herb: write fresh = true", us: "say that it is fresh"},
		{change: func(w *recipe.Written) { w.SampleOven = to(true) }, field: recipe.SampleOven, keys: "means nothing without sample_fresh_g", us: "means nothing without “Handful, fresh”"},
		{change: func(w *recipe.Written) { w.Press = to("hard") }, field: recipe.Press, keys: `press = "hard" must be "none"`, us: `"hard" must be "none"`},
		{change: func(w *recipe.Written) { w.HoldMin = to(int64(1441)) }, field: recipe.HoldMin, keys: "hold_min = 1441 must be from 1 to 1440", us: "1441 min must be from 1 min to 1440 min"},
		{change: func(w *recipe.Written) { w.Macerations = to(int64(0)) }, field: recipe.Macerations, keys: "macerations = 0 must be from 1 to 10", us: "“Macerations” 0 must be from 1 to 10"},
		{change: func(w *recipe.Written) { w.FloorBelowBoiling = to(61.0) }, field: recipe.FloorBelowBoiling, keys: "floor_below_boiling_c = 61 must be from 1 to 60", us: "109.8 °F must be from 1.8 °F to 108 °F"},
		{change: func(w *recipe.Written) { w.FloorC = to(20.0) }, field: recipe.FloorC, keys: "floor_c = 20 must be from 30 to 100", us: "68 °F must be from 86 °F to 212 °F"},
		{change: func(w *recipe.Written) { w.CeilingC = to(200.0) }, field: recipe.CeilingC, keys: "oil_ceiling_c = 200 must be from 40 to 130", us: "392 °F must be"},
		{change: func(w *recipe.Written) { w.FloorC, w.FloorBelowBoiling = to(80.0), to(15.0) }, field: recipe.FloorC, keys: "exclude each other: give the floor one way", us: "exclude each other"},
		{change: func(w *recipe.Written) { w.FloorC, w.CeilingC = to(90.0), to(85.0) }, field: recipe.FloorC, keys: "floor_c = 90 must be below oil_ceiling_c = 85", us: "194 °F must be below “Ceiling” 185 °F"},
		{change: func(w *recipe.Written) { w.FloorC = to(99.8) }, field: recipe.FloorC, keys: "floor_c = 99.8 must be below 99.6, where water boils at elevation_m = 120", us: "must be below 211.2 °F, where water boils here", elsewhere: true},
		{change: func(w *recipe.Written) { w.CeilingC = to(80.0) }, field: recipe.CeilingC, keys: "oil_ceiling_c = 80 must be above the floor, 84.6", us: "must be above the floor, 184.2 °F (27 °F below", elsewhere: true},
	} {
		w := yard()
		c.change(&w)
		for words, want := range map[recipe.Words]string{recipe.Keys(): c.keys, recipe.Form(rules.US): c.us} {
			_, problems := recipe.Check(w, here, words)
			if len(problems) != 1 || problems[0].Field != c.field || !strings.Contains(problems[0].Text, want) {
				t.Errorf("%+v\nwant %q at %s", problems, want, c.field)
			}
		}
		if _, problems := recipe.Check(w, recipe.Place{}, recipe.Keys()); (len(problems) == 0) != c.elsewhere {
			t.Errorf("%s, where the height is not known: %+v", c.keys, problems)
		}
	}
}
