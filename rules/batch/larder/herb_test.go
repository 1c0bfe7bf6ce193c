package larder_test

import (
	"testing"

	"pgregory.net/rapid"

	"bainward/rules/batch/amount"
	"bainward/rules/batch/larder"
)

// However a maker writes the name, genus, species and part are found.
func TestNamesAreTakenApart(t *testing.T) {
	for _, c := range []struct{ written, want, ingredient string }{
		{"Plantago lanceolata, leaf", "Plantago lanceolata, leaf", "Plantago Lanceolata Leaf Extract"},
		{"PLANTAGO LANCEOLATA L., dried leaves", "Plantago lanceolata, leaf", "Plantago Lanceolata Leaf Extract"},
		{"Calendula officinalis flowers", "Calendula officinalis, flower", "Calendula Officinalis Flower Extract"},
		{"Rosmarinus officinalis", "Salvia rosmarinus", "Rosmarinus Officinalis Extract"},
		{"rosemary, leaf", "Salvia rosmarinus, leaf", "Rosmarinus Officinalis Leaf Extract"},
		{"St John’s wort, flowering tops", "Hypericum perforatum, flowering tops", "Hypericum Perforatum Flower/Leaf/Stem Extract"},
		{"Mentha × piperita", "Mentha piperita", "Mentha Piperita Extract"},
		{"Symphytum x uplandicum, leaf", "Symphytum uplandicum, leaf", "Symphytum Uplandicum Leaf Extract"},
		{"Symphytum sp.", "Symphytum", "Symphytum Extract"},
		{"  ", "", "Extract"},
	} {
		n := larder.ParseName(c.written)
		if n.String() != c.want || n.Ingredient() != c.ingredient {
			t.Errorf("%q is %q and gives %q; want %q and %q", c.written, n, n.Ingredient(), c.want, c.ingredient)
		}
	}
	if n := larder.ParseName("Nonesuch plant"); n.Known || n.Genus != "Nonesuch" {
		t.Errorf("Nonesuch plant: %+v", n)
	}
}

// No name that a finger slips on makes the parser fall over.
func TestAnyNameCanBeTakenApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := larder.ParseName(rapid.String().Draw(t, "name"))
		w := larder.Water(n, rapid.Bool().Draw(t, "fresh"))
		if n.Ingredient() == "" || w.Source == "" || !(0 < w.P10 && w.P10 <= w.P50 && w.P50 <= w.P90 && w.P90 < 1) {
			t.Errorf("%+v has %v water", n, w)
		}
	})
}

// Dry matter stays: (1-from)/(1-to), with the water of USDA's tables (from
// memory) and 10 % in the dried herb.
func TestDryFactors(t *testing.T) {
	for from, want := range map[float64]float64{0.6777: 0.3581, 0.85: 0.1667, 0.9206: 0.0882} {
		near(t, "factor", larder.DryFactor(from, 0.10), want, 1e-4)
	}
}

// 300 g of fresh rosemary are 96.7 g of dry matter and 107.4 g of dried herb.
func TestFreshRosemaryCountsAsDry(t *testing.T) {
	n := larder.ParseName("Rosmarinus officinalis, leaf")
	w := larder.Water(n, true)
	near(t, "water", w.P50, 0.6777, 1e-12)
	near(t, "dry equivalent, g", 1000*larder.DryEquivalent(0.3, w.Range).P50, 107.4, 0.05)
	near(t, "dry matter, g", 300*(1-w.P50), 96.69, 0.005)
	near(t, "and back, g", 1000*larder.AsWeighed(0.1074, w.Range).P50, 300, 0.1)
	near(t, "water in 100 g, g", 100*w.P50, 67.8, 0.05)
}

// 1 part of dried herb to 10 of oil, as the EU monograph of Calendula has it
// (EMA/HMPC/437450/2017), is 100 g to a kilogram; of fresh herb it is more.
func TestHerbForARatio(t *testing.T) {
	n := larder.ParseName("Calendula officinalis, flower")
	near(t, "dried, kg", larder.ForRatio(1, 10, larder.Water(n, false).Range).P50, 0.1, 1e-12)
	fresh := larder.ForRatio(1, 10, larder.Water(n, true).Range)
	near(t, "fresh, kg", fresh.P50, 0.1*0.9/0.135, 1e-9)
	if fresh.P10 >= fresh.P50 || fresh.P90 <= fresh.P50 {
		t.Errorf("no spread: %v", fresh)
	}
}

// What the maker weighed replaces the table: 100 g that dried to 17 g in an
// oven held 83 g of water; dried in air to 17 g, a tenth of that is water still.
func TestAWeighedSampleTellsTheWater(t *testing.T) {
	oven, err := larder.Sample{FreshG: 100, DriedG: 17, BoneDry: true}.Water()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "oven", oven.P50, 0.83, 1e-12)
	air, err := larder.Sample{FreshG: 100, DriedG: 17}.Water()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "air", air.P50, 0.847, 1e-12)
	if oven.P90-oven.P10 >= 0.04 {
		t.Errorf("a weighed sample leaves %v in doubt", oven)
	}
	for _, s := range []larder.Sample{{FreshG: 10, DriedG: 11}, {FreshG: 10}, {DriedG: 1}, {FreshG: -1, DriedG: -2}} {
		if w, err := s.Water(); err == nil {
			t.Errorf("%+v gives %v", s, w)
		}
	}
}

// Fresh to dry and back is the same weight, whatever the water.
func TestEquivalenceGoesBothWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kg, w := rapid.Float64Range(0.001, 50).Draw(t, "kg"), rapid.Float64Range(0.01, 0.96).Draw(t, "water")
		dry := larder.DryEquivalent(kg, amount.Exactly(w)).P50
		alike(t, larder.AsWeighed(dry, amount.Exactly(w)).P50, kg)
		if l := larder.TissueL(kg, w); l > kg || l < kg/1.5 {
			t.Errorf("%v kg of tissue take %v l", kg, l)
		}
	})
}

func alike(t *rapid.T, got, want float64) {
	t.Helper()
	if d := got - want; d > 1e-9*want || d < -1e-9*want {
		t.Errorf("got %v, want %v", got, want)
	}
}

// Chopped herb takes more room than its tissue, and dried herb more than fresh.
func TestBulkIsMoreThanTissue(t *testing.T) {
	for p := larder.AnyPart; p <= larder.Bud; p++ {
		fresh, dried := larder.Bulk(p, true), larder.Bulk(p, false)
		if fresh.P10 <= 1 || dried.P50 <= fresh.P50 && p != larder.Root && p != larder.Bark && p != larder.Seed && p != larder.Fruit {
			t.Errorf("%s: fresh %v, dried %v l/kg", p, fresh, dried)
		}
	}
}
