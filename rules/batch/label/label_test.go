package label_test

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bainward/rules"
	"bainward/rules/batch/label"
	"bainward/rules/batch/larder"
	"bainward/rules/batch/shelf"
)

func marigold() label.Batch {
	return label.Batch{
		Number: "2026-03-01-north-1", Responsible: "Sorrel, Alder Yard",
		Herbs:    []label.Part{{"Calendula officinalis, flower", 0.09}},
		Oils:     []label.Part{{"sunflower", 0.2}, {"olive", 0.7}},
		BottleKg: 0.0914,
		Keeps:    shelf.Bottles{Made: shelf.Day(2026, time.March, 1), OilBest: shelf.Day(2027, time.June, 30), Fresh: true, Water: shelf.WaterGone},
	}
}

// The ingredients stand by falling mass, the extract last (Regulation (EC) No
// 1223/2009, Article 19(1)(g)).
func TestIngredientsStandByFallingMass(t *testing.T) {
	l := label.Make(marigold())
	want := []string{"Olea Europaea Fruit Oil", "Helianthus Annuus Seed Oil", "Calendula Officinalis Flower Extract"}
	if !slices.Equal(l.Ingredients, want) {
		t.Errorf("got %q, want %q", l.Ingredients, want)
	}
	b := marigold()
	b.Additions = []label.Part{{"Tocopherol", 0.3}}
	if got := label.Make(b).Ingredients[1]; got != "Tocopherol" {
		t.Errorf("second stands %q", got)
	}
}

// A whole label: the items of Article 19(1) that can be reckoned.
func TestALabelHasWhatTheRegulationAsksFor(t *testing.T) {
	l := label.Make(marigold())
	for what, pair := range map[string][2]string{
		"title":   {l.Title, "calendula oil"},
		"content": {l.Content.Text, "95 ml"},
		"mark":    {l.Mark.Text, "Best used before the end of: 30 June 2027"},
		"number":  {l.Number, "2026-03-01-north-1"},
	} {
		if pair[0] != pair[1] {
			t.Errorf("%s: %q, want %q", what, pair[0], pair[1])
		}
	}
	short := strings.Join(l.Short, " ")
	for _, want := range []string{"Asteraceae", "Not for eating", "Try a small spot"} {
		if !strings.Contains(short, want) {
			t.Errorf("the bottle does not say %q: %s", want, short)
		}
	}
	if len(l.Missing) != 1 {
		t.Errorf("missing: %q", l.Missing)
	}
}

// What nobody said is named, not made up.
func TestWhatIsMissingIsNamed(t *testing.T) {
	b := label.Batch{Herbs: []label.Part{{"Ignota dubia", 1}}, Oils: []label.Part{{"engine", 1}}}
	missing := strings.Join(label.Make(b).Missing, "; ")
	for _, want := range []string{"answers for it", "batch number", "bottle", "day on which", "own date", `"Ignota dubia"`, `"engine"`} {
		if !strings.Contains(missing, want) {
			t.Errorf("%q is not missed: %s", want, missing)
		}
	}
	if l := label.Make(label.Batch{}); len(l.Missing) != 8 || l.Title != "oil" {
		t.Errorf("of nothing: %q, missing %q", l.Title, l.Missing)
	}
}

var figures = regexp.MustCompile(`[0-9.]+`)

// No label promises more than the bottle holds, in any unit (16 CFR 500 wants
// both for the USA, from memory).
func TestNoLabelPromisesTooMuch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := larder.FindOil(rapid.SampledFrom([]string{"olive", "jojoba", "sunflower", "unheard of"}).Draw(t, "oil"))
		kg := rapid.Float64Range(0.005, 5).Draw(t, "kg")
		holds := kg * 1e6 / o.Density(20).P90
		both := figures.FindAllString(label.ContentOf(kg, o, rules.US).Text, -1)
		floz, ml := number(t, both[0]), number(t, both[1])
		if floz*29.5735295625 > holds+1e-6 || ml > holds+1e-6 || math.Abs(floz*29.5735-ml) > 1 || ml < holds-4 {
			t.Errorf("%v kg hold %v ml, the label says %q", kg, holds, both)
		}
		text := label.ContentOf(kg, o, rules.Metric).Text
		said := number(t, figures.FindString(text))
		if strings.HasSuffix(text, " l") {
			said *= 1000
		}
		if said > holds+1e-6 || said < holds-10 {
			t.Errorf("%v kg hold %v ml, the label says %q", kg, holds, text)
		}
	})
}

// What was measured cold is promised whole; what was measured hot has shrunk:
// 500 ml of olive oil lose 0.67 kg/m³ in 915 for each of 60 K (larder.Oil, Density),
// 22 ml in all.
func TestAVolumeIsPromisedAsItIsWhenCold(t *testing.T) {
	olive := larder.FindOil("olive")
	for _, c := range []struct {
		ml, atC float64
		text    string
	}{
		{100, 20, "100 ml"}, {100, 22.5, "100 ml"}, {100, 23, "100 ml"}, {100, 24, "95 ml"}, {100, 15, "100 ml"},
		{500, 80, "475 ml"}, {99.5, 20, "95 ml"}, {1000, 21, "1.00 l"}, {4, 20, "4 ml"},
	} {
		if got := label.ContentOfVolume(c.ml, c.atC, olive, rules.Metric); got.Text != c.text {
			t.Errorf("%v ml at %v °C: the label says %q, want %q", c.ml, c.atC, got.Text, c.text)
		}
	}
	if us := label.ContentOfVolume(100, 20, olive, rules.US); us.Text != "Net 3.3 fl oz (97 ml)" {
		t.Errorf("100 ml in the USA: %q", us.Text)
	}
}

func number(t *rapid.T, s string) float64 {
	f, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Below 5 g and 5 ml no content need be given (Article 19(1)(b)), and the
// figures are 2 to 6 mm high (Directive 76/211/EEC, annex I, from memory).
func TestSmallBottlesNeedNoContent(t *testing.T) {
	olive := larder.FindOil("olive")
	for _, c := range []struct {
		g      float64
		needed bool
		mm     float64
		text   string
	}{
		{4, false, 2, "4 ml"}, {4.6, true, 2, "5 ml"}, {45.72, true, 2, "50 ml"}, {91.5, true, 3, "100 ml"}, {914.5, true, 4, "1.00 l"}, {1400, true, 6, "1.53 l"},
	} {
		got := label.ContentOf(c.g/1000, olive, rules.Metric)
		if got.Needed != c.needed || got.FigureMM != c.mm || got.Text != c.text {
			t.Errorf("%v g: %+v, want %+v", c.g, got, c)
		}
	}
}

// A batch number leads back to the day and the bath.
func ExampleNumber() {
	fmt.Println(label.Number(shelf.Day(2026, time.March, 1), "North window", 2))
	// Output: 2026-03-01-north-window-2
}
