package batch_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bainward/rules"
	"bainward/rules/batch"
	"bainward/rules/batch/larder"
)

// An ordinary batch is planned without a warning, and every warning was looked
// at.
func TestAnOrdinaryBatchHasNoWarning(t *testing.T) {
	p := batch.Reckon(yard())
	for w := range batch.WarningCount {
		if f := p.Findings[w]; f.Level != rules.Clear {
			t.Errorf("%s is %s: %s", w, f.Level, p.Say(w, rules.Metric))
		}
	}
}

// Each mistake raises its own warning, in words that name the number.
func TestEachMistakeIsNamed(t *testing.T) {
	for w, c := range map[batch.Warning]struct {
		mistake func(a *batch.Ask)
		says    string
	}{
		batch.FillBelowBase:    {func(a *batch.Ask) { a.Given.FillKg = 1.2 }, "1.20 kg of water may leave the base"},
		batch.PanOverflows:     {func(a *batch.Ask) { a.Vessels.PanDepth = 60 }, "60 mm deep"},
		batch.DishFloats:       {func(a *batch.Ask) { a.Given.FillKg, a.Vessels.DishKg = 3.2, 0.3 }, "may float"},
		batch.DishTooFull:      {func(a *batch.Ask) { a.Vessels.DishDepth = 35 }, "swells by 50 ml"},
		batch.CeilingTooHigh:   {func(a *batch.Ask) { a.Recipe.CeilingC = 104 }, "104.0 °C is above the boiling point here, 99.6 °C"},
		batch.FloorTooHigh:     {func(a *batch.Ask) { a.Recipe.FloorC = 97 }, "Lower the floor"},
		batch.NeverWarm:        {func(a *batch.Ask) { a.Recipe.FloorC = 99 }, "never comes to 99.0 °C"},
		batch.OilTooLittle:     {func(a *batch.Ask) { a.Recipe.OilML = 300 }, "300 ml of oil will hardly cover"},
		batch.HerbTooWet:       {func(a *batch.Ask) { a.Recipe.Herb = "Ocimum basilicum, leaf" }, "92 % of the herb is water"},
		batch.HerbWaterTooMuch: {func(a *batch.Ask) { a.Recipe.HerbG = 400 }, "brings 271 g of water"},
		batch.RingTooNarrow:    {func(a *batch.Ask) { a.Rig.DishOutsideDiameter = 250 }, "Only 5 mm"},
		batch.WaterTooOften:    {func(a *batch.Ask) { a.Given.CoverMM = 12 }, "due every"},
		batch.MarcKeepsTooMuch: {func(a *batch.Ask) { a.Recipe.Fresh, a.Recipe.HerbG = false, 200 }, "would keep 41 %"},
		batch.OilMeasuredHot:   {func(a *batch.Ask) { a.Given.OilAtC = 60 }, "measured warm"},
		batch.HerbUnknown:      {func(a *batch.Ask) { a.Recipe.Herb = "Ignota dubia" }, "Nothing is known here about"},
		batch.OilUnknown:       {func(a *batch.Ask) { a.Recipe.Oil = "engine" }, "in no table"},
		batch.SampleImpossible: {func(a *batch.Ask) { a.Given.Sample = larder.Sample{FreshG: 1, DriedG: 2} }, "weigh again"},
	} {
		a := yard()
		c.mistake(&a)
		p := batch.Reckon(a)
		if p.Findings[w].Level != rules.Raised || !strings.Contains(p.Say(w, rules.Metric), c.says) {
			t.Errorf("%s is %s and says %q, want %q", w, p.Findings[w].Level, p.Say(w, rules.Metric), c.says)
		}
		if us := p.Say(w, rules.US); us == "" || strings.Contains(us, "°C") || strings.Contains(us, " mm ") {
			t.Errorf("%s, for US readers: %q", w, us)
		}
	}
}

// Where nothing was said nothing is made up: no warning is raised but that herb
// and oil are not known, the others say what they lack, and no line has a
// number in it that nobody gave.
func TestNothingIsMadeUp(t *testing.T) {
	p := batch.Reckon(batch.Ask{})
	for w := range batch.WarningCount {
		if f := p.Findings[w]; f.Level == rules.Raised && w != batch.HerbUnknown && w != batch.OilUnknown {
			t.Errorf("%s: %s", w, p.Say(w, rules.Metric))
		}
	}
	for _, w := range []batch.Warning{batch.FillBelowBase, batch.PanOverflows, batch.DishFloats, batch.DishTooFull, batch.OilTooLittle, batch.NeverWarm, batch.HerbWaterTooMuch} {
		if text := p.Say(w, rules.Metric); !strings.Contains(text, "not known is") {
			t.Errorf("%s says %q", w, text)
		}
	}
	for _, l := range p.Lines(rules.Metric) {
		if strings.Contains(l.Text, "unknown") || strings.Contains(l.Text, "NaN") {
			t.Errorf("%+v", l)
		}
	}
}

// Whatever is asked, ranges stand in their order, no line lacks its source, and
// none shows a NaN.
func TestAnyAskGivesAPlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := func(what string, most float64) float64 {
			return rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(1, most)).Draw(t, what)
		}
		a := batch.Ask{
			Recipe: rules.Recipe{
				Herb:  rapid.SampledFrom([]string{"", "Calendula officinalis, flower", "basil", "Ignota", "Althaea officinalis, root"}).Draw(t, "herb"),
				HerbG: size("herb g", 3000), Oil: rapid.SampledFrom([]string{"", "olive", "engine"}).Draw(t, "oil"), OilML: size("oil ml", 5000),
				Fresh: rapid.Bool().Draw(t, "fresh"), Macerations: rapid.IntRange(0, 4).Draw(t, "macerations"), FloorC: size("floor", 120), CeilingC: size("ceiling", 200),
			},
			Rig:     rules.Rig{PanInsideDiameter: size("pan", 500), DishOutsideDiameter: size("dish", 500), DishBaseHeight: size("base", 150), WetsBaseG: size("wets", 9000)},
			Site:    batch.Site{Elevation: rapid.Float64Range(-400, 5000).Draw(t, "elevation")},
			Vessels: batch.Vessels{DishDepth: size("dish depth", 200), DishKg: size("dish kg", 5), PanDepth: size("pan depth", 300), HobW: size("hob", 3000)},
			Given:   batch.Given{FillKg: size("fill", 9), CoverMM: size("cover", 80), OilAtC: size("oil at", 100), HerbBulkML: size("bulk", 5000)},
		}
		p := batch.Reckon(a)
		for _, r := range append(p.Times.TopUps, p.Times.Boil, p.Times.Hold, p.Times.End, p.Times.All, p.Water.FillKg, p.ComesOut.Kg, p.Goods.CoversMl, p.DrivesKg) {
			if r.Known() && !(0 <= r.P10 && r.P10 <= r.P50 && r.P50 <= r.P90) {
				t.Errorf("range %v", r)
			}
		}
		last := 0.0
		for _, due := range p.Times.TopUps {
			if due.P50 <= last || math.IsNaN(due.P50) {
				t.Errorf("water is due at %v after %v", due.P50, last)
			}
			last = due.P50
		}
		for _, u := range []rules.Units{rules.Metric, rules.US} {
			for _, l := range p.Lines(u) {
				if l.Source == "" || strings.Contains(l.Text, "NaN") || strings.Contains(l.Text, "Inf") {
					t.Errorf("%+v", l)
				}
			}
			for w := range batch.WarningCount {
				if text := p.Say(w, u); strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
					t.Errorf("%s says %q", w, text)
				}
			}
		}
	})
}
