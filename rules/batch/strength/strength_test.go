package strength_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bainward/rules"
	"bainward/rules/batch/amount"
	"bainward/rules/batch/larder"
	"bainward/rules/batch/strength"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: got %v, want %v ± %v", what, got, want, within)
	}
}

func kept(t *testing.T, in, out float64) strength.Marc {
	t.Helper()
	m, err := strength.FromOil(in, out, 0.001)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func reckon(t *testing.T, passes ...strength.Pass) strength.Result {
	t.Helper()
	r, err := strength.Reckon(passes)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// 100 g of dried herb in 1000 g of oil, of which 860 g come out: 1:10 by what
// was put in, 1:8.6 by what was obtained (definitions: EMA/HMPC/CHMP/CVMP/
// 287539/2005 Rev. 1 and EMA/HMPC/201116/2005; arithmetic by hand).
func TestOneMacerationHasTwoRatios(t *testing.T) {
	r := reckon(t, strength.Dried(0.100, 1.000, kept(t, 1, 0.86)))
	near(t, "solvent ratio", r.Passes[0].SolventRatio.P50, 10, 1e-9)
	near(t, "DER", r.DER.P50, 8.60, 1e-9)
	near(t, "strength", r.OneTo.P50, 10, 1e-9)
	near(t, "yield", r.Yield.P50, 0.86, 1e-12)
}

// Two macerations of 1:10 are 1:5, not the 1:3.98 of all the herb over the oil
// at the end; three are 1:3.33. Of the oil 74 % come out.
func TestTwoMacerationsOfATenthMakeAFifth(t *testing.T) {
	first := strength.Dried(0.100, 1.000, kept(t, 1, 0.86))
	second := strength.Dried(0.086, 0, kept(t, 0.86, 0.74))
	r := reckon(t, first, second)
	near(t, "herb to oil after the first", r.Passes[0].PerOil.P50, 0.1, 1e-12)
	near(t, "herb to oil", r.PerOil.P50, 0.2, 1e-12)
	near(t, "one part in", r.OneTo.P50, 5, 1e-9)
	near(t, "DER", r.DER.P50, 3.98, 0.005)
	near(t, "yield", r.Yield.P50, 0.740, 1e-12)
	text := strings.Join(r.Lines(rules.Metric), "\n")
	for _, want := range []string{"1:5.00", "1:3.98", "not the strength", "common practice, no source"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not said:\n%s", want, text)
		}
	}
	third := reckon(t, first, second, strength.Dried(0.074, 0, kept(t, 0.74, 0.63)))
	near(t, "three", third.OneTo.P50, 10.0/3, 1e-9)
}

// The same parts again in the same oil double its strength (common practice,
// no source; by these books it is exact).
func TestTheSamePartsAgainDouble(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		oil, parts := rapid.Float64Range(0.1, 20).Draw(t, "oil"), rapid.Float64Range(2, 30).Draw(t, "parts")
		keep := rapid.Float64Range(0, 0.8).Draw(t, "kept")
		marc := strength.Marc{How: strength.Weighed, Kg: amount.Exactly(keep * oil)}
		out := oil - float64(keep*oil)
		r, err := strength.Reckon([]strength.Pass{strength.Dried(oil/parts, oil, marc), strength.Dried(out/parts, 0, strength.Marc{})})
		if err != nil {
			t.Fatal(err)
		}
		if d := r.PerOil.P50*parts - 2; math.Abs(d) > 1e-9 {
			t.Errorf("twice 1:%v make 1:%v", parts, r.OneTo.P50)
		}
	})
}

// 300 g of fresh rosemary in a kilogram of oil count as 107.4 g of dried herb
// (67.77 % water: USDA SR Legacy, from memory).
func TestFreshHerbCountsAsDry(t *testing.T) {
	water := larder.Water(larder.ParseName("Rosmarinus officinalis"), true).Range
	r := reckon(t, strength.Pass{HerbKg: 0.3, Fresh: true, Water: water, OilKg: 1, Marc: kept(t, 1, 0.85)})
	near(t, "herb to oil", r.PerOil.P50, 0.1074, 5e-5)
	near(t, "as weighed", r.HerbKg, 0.3, 1e-12)
	if !r.Fresh || r.PerOil.P90-r.PerOil.P10 < 0.02 {
		t.Errorf("five points of doubt about the water leave %v", r.PerOil)
	}
}

// drawn is a batch of one to four macerations with sensible figures.
func drawn(t *rapid.T) []strength.Pass {
	var passes []strength.Pass
	out := 0.0
	for i := range rapid.IntRange(1, 4).Draw(t, "passes") {
		oil := rapid.Float64Range(0.2, 5).Draw(t, "oil")
		if i > 0 && rapid.Bool().Draw(t, "all that came out") {
			oil = 0
		}
		in := oil
		if in == 0 {
			in = out
		}
		marc := rapid.Float64Range(0, 0.4).Draw(t, "marc") * in
		lost := rapid.Float64Range(0, 0.1).Draw(t, "lost") * in
		passes = append(passes, strength.Pass{
			HerbKg: rapid.Float64Range(0.001, 0.5).Draw(t, "herb") * in,
			Water:  amount.About(rapid.Float64Range(0.05, 0.85).Draw(t, "water"), 0.1),
			OilKg:  oil,
			Marc:   strength.Marc{How: strength.Weighed, Kg: amount.About(marc, 0.05)},
			LostKg: amount.About(lost, 0.3),
		})
		out = in - marc - lost
	}
	return passes
}

// The oil that went in is the oil that came out, is in the marcs, was lost or
// set aside.
func TestNoOilIsMadeOrLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, err := strength.Reckon(drawn(t))
		if err != nil {
			t.Fatal(err)
		}
		sum := r.OutKg.P50 + r.MarcKg.P50 + r.LostKg.P50 + r.AsideKg.P50
		if math.Abs(sum-r.NewKg.P50) > 1e-12*r.NewKg.P50 {
			t.Errorf("%v kg in, %v kg accounted for", r.NewKg.P50, sum)
		}
	})
}

// The herb behind all the oil, wherever it went, is the herb that was used: the
// books are kept again here, drop by drop.
func TestNoHerbIsCountedTwice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, err := strength.Reckon(drawn(t))
		if err != nil {
			t.Fatal(err)
		}
		gone, out, before := 0.0, 0.0, 0.0
		for _, p := range r.Passes {
			if aside := out - p.OilInKg.P50; aside > 0 {
				gone += aside * before
			}
			gone += p.PerOil.P50 * (p.OilInKg.P50 - p.OilOutKg.P50)
			out, before = p.OilOutKg.P50, p.PerOil.P50
		}
		if all := gone + r.PerOil.P50*r.OutKg.P50; math.Abs(all-r.DryKg.P50) > 1e-9*r.DryKg.P50 {
			t.Errorf("%v kg of herb were used, the books hold %v", r.DryKg.P50, all)
		}
	})
}

// More herb at the same weighings never makes a weaker oil, in whichever pass.
func TestMoreHerbNeverWeakens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		passes := drawn(t)
		before, err := strength.Reckon(passes)
		if err != nil {
			t.Fatal(err)
		}
		i := rapid.IntRange(0, len(passes)-1).Draw(t, "which")
		passes[i].HerbKg += rapid.Float64Range(0, 3).Draw(t, "more")
		after, err := strength.Reckon(passes)
		if err != nil {
			t.Fatal(err)
		}
		if after.PerOil.P50 < before.PerOil.P50 {
			t.Errorf("with more herb in pass %d: from %v to %v", i+1, before.PerOil.P50, after.PerOil.P50)
		}
	})
}

// A further maceration of the oil that came out never makes it weaker.
func TestAnotherMacerationNeverWeakens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		passes := drawn(t)
		before, err := strength.Reckon(passes)
		if err != nil {
			t.Fatal(err)
		}
		herb := rapid.Float64Range(0.001, 1).Draw(t, "herb")
		after, err := strength.Reckon(append(passes, strength.Dried(herb, 0, strength.Marc{})))
		if err != nil {
			t.Fatal(err)
		}
		if after.PerOil.P50 <= before.PerOil.P50 {
			t.Errorf("%v kg more herb: from %v to %v", herb, before.PerOil.P50, after.PerOil.P50)
		}
	})
}

// Fresh oil thins what the first maceration gave.
func TestFreshOilThins(t *testing.T) {
	first := strength.Dried(0.1, 1, kept(t, 1, 0.8))
	same := reckon(t, first, strength.Dried(0.08, 0.8, kept(t, 0.8, 0.7)))
	thinned := reckon(t, first, strength.Dried(0.08, 1.6, kept(t, 1.6, 1.5)))
	near(t, "same oil", same.PerOil.P50, 0.2, 1e-12)
	near(t, "as much fresh oil again", thinned.PerOil.P50, 0.1, 1e-12)
	near(t, "oil used", thinned.NewKg.P50, 1.8, 1e-12)
	aside := reckon(t, first, strength.Dried(0.08, 0.5, kept(t, 0.5, 0.4)))
	near(t, "set aside", aside.AsideKg.P50, 0.3, 1e-12)
}

// A weighed marc leaves less doubt about the oil than an estimated one, and
// the weighings' own doubt is their sum in squares (JCGM 100:2008, 5.1.2).
func TestWeighingLeavesLessDoubt(t *testing.T) {
	weighed := reckon(t, strength.Dried(0.1, 1, kept(t, 1, 0.86)))
	guessed := reckon(t, strength.Dried(0.1, 1, strength.Estimated(strength.Drained, amount.Exactly(0.1))))
	near(t, "weighed, g", 1000*(weighed.OutKg.P90-weighed.OutKg.P50), math.Sqrt2, 1e-9)
	near(t, "estimated, g", 1000*(guessed.OutKg.P90-guessed.OutKg.P50), 50, 1e-9)
	if !weighed.AllWeighed || guessed.AllWeighed {
		t.Error("the books do not tell which marc was weighed")
	}
}

// A marc weighed wet tells its oil as well: 0.25 kg of marc with 90 g of dry
// matter and 20 g of water left holds 140 g.
func TestAWetMarcTellsItsOil(t *testing.T) {
	m, err := strength.FromMarc(0.25, amount.About(0.09, 0.02), amount.Between(0, 0.02, 0.04))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "oil, kg", m.Kg.P50, 0.14, 1e-12)
	if _, err := strength.FromMarc(0.05, amount.Exactly(0.09), amount.Exactly(0)); err == nil {
		t.Error("a marc lighter than its herb was accepted")
	}
}

// Impossible weighings are named, with the maceration.
func TestImpossibleWeighingsAreNamed(t *testing.T) {
	good := strength.Dried(0.1, 1, strength.Marc{})
	for want, passes := range map[string][]strength.Pass{
		"no maceration":               nil,
		"maceration 1: herb of 0 kg":  {strength.Dried(0, 1, strength.Marc{})},
		"maceration 1: oil of 0 kg":   {strength.Dried(0.1, 0, strength.Marc{})},
		"maceration 2: oil of -1 kg":  {good, strength.Dried(0.1, -1, strength.Marc{})},
		"maceration 2: of 1.000 kg":   {good, strength.Dried(0.9, 0, strength.Estimated(strength.Drained, amount.Exactly(0.9)))},
		"maceration 1: the herb's":    {{HerbKg: 1, OilKg: 1, Water: amount.Exactly(1)}},
		"maceration 1: the marc or":   {{HerbKg: 1, OilKg: 1, LostKg: amount.Exactly(-1)}},
		"maceration 1: herb of NaN":   {strength.Dried(math.NaN(), 1, strength.Marc{})},
		"maceration 1: oil of NaN kg": {strength.Dried(1, math.NaN(), strength.Marc{})},
	} {
		if _, err := strength.Reckon(passes); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want an error with %q, got %v", want, err)
		}
	}
	if _, err := strength.FromOil(0.8, 0.9, 0.001); err == nil {
		t.Error("more oil came out than went in, and nobody minded")
	}
}
