package recipe_test

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"bainward/rules"
	"bainward/rules/batch/recipe"
)

// checkTyped reads a form and checks it, as the page does.
func checkTyped(typed map[string]string, at recipe.Place, u rules.Units) (recipe.Written, []recipe.Problem) {
	w, unread := recipe.Typed(typed, u)
	_, problems := recipe.Check(w, at, recipe.Form(u))
	return w, recipe.First(unread, problems)
}

// What stands in a metric form is kept to the last digit, with a decimal comma too,
// and stands in the form again.
func TestAMetricFormIsKeptAsItWasTyped(t *testing.T) {
	typed := map[string]string{
		"name": " rosemary ", "herb": "Rosmarinus officinalis, leaf", "fresh": "fresh", "herb_g": "180,5", "oil": "olive", "oil_g": "729",
		"hold_min": "120", "macerations": "1", "herb_bulk_ml": "900", "sample_fresh_g": "50", "sample_dried_g": "15.25", "sample_oven_dried": "oven",
		"press": "hand", "floor_c": "82.5", "oil_ceiling_c": "101",
	}
	w, problems := checkTyped(typed, here, rules.Metric)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	want := recipe.Written{
		Name: "rosemary", Herb: "Rosmarinus officinalis, leaf", Fresh: true, HerbG: to(180.5), Oil: "olive", OilG: to(729.0), HerbBulkML: to(900.0),
		SampleFreshG: to(50.0), SampleDriedG: to(15.25), SampleOven: to(true), Press: to("hand"), HoldMin: to(int64(120)), Macerations: to(int64(1)),
		FloorC: to(82.5), CeilingC: to(101.0),
	}
	if !reflect.DeepEqual(w, want) {
		t.Errorf("kept is\n%+v", w)
	}
	again := recipe.Values(w, rules.Metric)
	typed["name"], typed["herb_g"] = "rosemary", "180.5"
	for name, value := range typed {
		if again[name] != value {
			t.Errorf("%s is offered as %q, typed was %q", name, again[name], value)
		}
	}
}

// A US form is kept in grams and °C: an ounce has 28.3495 g, a fluid ounce 29.5735 ml
// (NIST Handbook 44, appendix C), 27 °F of difference are 15 K and 212 °F are 100 °C.
func TestAUSFormIsKeptInGrams(t *testing.T) {
	typed := map[string]string{
		"name": "rosemary", "fresh": "dried", "herb_oz": "8", "oil_floz": "27", "oil_measured_at_f": "68", "floor_below_boiling_f": "27", "oil_ceiling_f": "212",
	}
	w, problems := checkTyped(typed, here, rules.US)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	for _, n := range []struct {
		name      string
		got, want float64
	}{
		{"herb", *w.HerbG, 226.796185}, {"oil", *w.OilML, 798.485298}, {"measured at", *w.OilMeasuredAt, 20}, {"floor", *w.FloorBelowBoiling, 15}, {"ceiling", *w.CeilingC, 100},
	} {
		if math.Abs(n.got-n.want) > 1e-6 {
			t.Errorf("%s: %g, want %g", n.name, n.got, n.want)
		}
	}
	again := recipe.Values(w, rules.US)
	for name, value := range typed {
		if again[name] != value {
			t.Errorf("%s is offered as %q, typed was %q", name, again[name], value)
		}
	}
}

// What is no number is told at its field, and nothing else of what only follows from
// it.
func TestWhatIsNoNumberIsToldAtItsField(t *testing.T) {
	_, problems := checkTyped(map[string]string{
		"name": "rosemary", "herb_g": "many", "herb_bulk_ml": "900", "oil_g": "NaN", "hold_min": "1.5", "macerations": "two",
	}, here, rules.Metric)
	want := map[recipe.Field]string{
		recipe.HerbG: `"many" is no number`, recipe.OilG: `"NaN" is no number`, recipe.HoldMin: `"1.5" is no whole number`, recipe.Macerations: `"two" is no whole number`,
	}
	if len(problems) != len(want) {
		t.Errorf("%+v", problems)
	}
	for _, p := range problems {
		if !strings.HasPrefix(p.Text, want[p.Field]) || want[p.Field] == "" {
			t.Errorf("%s: %q", p.Field, p.Text)
		}
	}
}

// The form has a field for every key of a recipe, each with a name of its own, and
// keeps problem and value together.
func TestTheFormHasEveryField(t *testing.T) {
	for _, u := range []rules.Units{rules.Metric, rules.US} {
		names := map[string]bool{}
		for _, in := range recipe.Inputs(map[string]string{"name": "x"}, []recipe.Problem{{Field: recipe.Oil, Text: "no"}}, u) {
			if in.Label == string(in.Field) || names[in.Name] {
				t.Errorf("%s is called %q and sent as %s", in.Field, in.Label, in.Name)
			}
			names[in.Name] = true
			if (in.Problem == "no") != (in.Field == recipe.Oil) || (in.Value == "x") != (in.Field == recipe.Name) {
				t.Errorf("%+v", in)
			}
		}
		if n := reflect.TypeFor[recipe.Written]().NumField(); len(names) != n {
			t.Errorf("the form has %d fields, a recipe %d", len(names), n)
		}
	}
}

// A copy for other weights is that of the plan: the room that the herb takes goes
// with its weight, and weighed oil takes the place of measured.
func TestACopyTakesThePlansWeights(t *testing.T) {
	w := recipe.Written{HerbG: to(200.0), HerbBulkML: to(900.0), OilML: to(800.0), OilMeasuredAt: to(20.0)}
	got := w.Weighing(0.3, 0.5125)
	want := recipe.Written{HerbG: to(300.0), HerbBulkML: to(1350.0), OilG: to(512.5)}
	if !reflect.DeepEqual(got, want) || *w.HerbG != 200 || w.OilG != nil {
		t.Errorf("the copy is %+v", got)
	}
	if got := w.Weighing(0, 0); !reflect.DeepEqual(got, w) {
		t.Errorf("unchanged it is %+v", got)
	}
}
