package larder_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"bainward/rules/batch/larder"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: got %v, want %v ± %v", what, got, want, within)
	}
}

// Olive oil by Codex STAN 33-1981 at 20 °C and by the slope of -0.67 kg/(m³·K)
// above (Coupland and McClements, JAOCS 74 (1997) 1559, from memory); 4 kg/m³ is
// what the olives differ by.
func TestOliveOilIsAsHeavyAsPublished(t *testing.T) {
	olive := larder.FindOil("olive")
	for c, want := range map[float64]float64{20: 912, 40: 898.6, 60: 885.2, 80: 871.8, 90: 865.1, 100: 858.4} {
		near(t, "density", olive.Density(c).P50, want, 4)
	}
	at20 := olive.Density(20)
	near(t, "lightest at 20 °C", at20.P10, 908.4, 0.1)
	near(t, "heaviest at 20 °C", at20.P90, 914.4, 0.1)
}

// 500 ml measured at 80 °C are 478 ml at 20 °C, by the same figures.
func TestHotOilIsLessThanItLooks(t *testing.T) {
	got := larder.FindOil("olive").MlAt(500, 80, 20)
	near(t, "ml when cold", got.P50, 478, 0.5)
	if got.P90-got.P10 > 1 {
		t.Errorf("the doubt is %v ml, though it is the same oil", got.P90-got.P10)
	}
	near(t, "kg", larder.FindOil("olive").Kg(500, 80).P50, 0.4359, 0.002)
}

// Measuring, warming, cooling and measuring again gives the same volume.
func TestThereAndBackIsTheSameVolume(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		oil := rapid.SampledFrom(larder.Oils()).Draw(t, "oil")
		ml := rapid.Float64Range(1, 1e5).Draw(t, "ml")
		from, to := rapid.Float64Range(0, 120).Draw(t, "from"), rapid.Float64Range(0, 120).Draw(t, "to")
		hot := oil.MlAt(ml, from, to).P50
		if back := oil.MlAt(hot, to, from).P50; math.Abs(back-ml) > 1e-9*ml {
			t.Errorf("%s: %v ml at %v °C are %v at %v °C and then %v", oil.Name, ml, from, hot, to, back)
		}
		if to > from+1e-6 && hot < ml {
			t.Errorf("%s shrank from %v °C to %v °C", oil.Name, from, to)
		}
	})
}

// Mass turned into a volume and back is the same mass.
func TestMassIsTheTruth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		oil := larder.FindOil(rapid.SampledFrom([]string{"olive", "sunflower", "whale"}).Draw(t, "oil"))
		c, ml := rapid.Float64Range(10, 110).Draw(t, "c"), rapid.Float64Range(1, 1e4).Draw(t, "ml")
		if back := oil.Ml(oil.Kg(ml, c), c).P50; math.Abs(back-ml) > 1e-9*ml {
			t.Errorf("%v ml became %v", ml, back)
		}
	})
}

// An oil is found by the names that makers, botanists and labels use.
func TestOilsAreFoundByTheirNames(t *testing.T) {
	for name, inci := range map[string]string{
		"Extra virgin olive oil": "Olea Europaea Fruit Oil", "olea europaea": "Olea Europaea Fruit Oil",
		"sunflower": "Helianthus Annuus Seed Oil", "Helianthus annuus, cold pressed": "Helianthus Annuus Seed Oil",
		"corn oil": "Zea Mays Germ Oil", "sweet almond": "Prunus Amygdalus Dulcis Oil", "Groundnut": "Arachis Hypogaea Oil",
		"apricot kernel oil": "Prunus Armeniaca Kernel Oil",
	} {
		if got := larder.FindOil(name); got.INCI != inci || !got.Known {
			t.Errorf("%q is %q, want %q", name, got.INCI, inci)
		}
	}
}

// An oil that nobody knows gets a wide range and says so.
func TestAnUnknownOilSaysSo(t *testing.T) {
	for _, name := range []string{"", "dragon", "oliveira"} {
		o := larder.FindOil(name)
		if o.Known {
			t.Errorf("%q is known as %s", name, o.Name)
		}
		for _, k := range larder.Oils() {
			if o.Density(50).P10 > k.Density(50).P50 || o.Density(50).P90 < k.Density(50).P50 {
				t.Errorf("the stand-in's range leaves out %s", k.Name)
			}
		}
	}
}

// No row of the table is without a source, and none twice.
func TestEveryOilNamesItsSource(t *testing.T) {
	seen := map[string]bool{}
	for _, o := range larder.Oils() {
		if o.Source == "" || o.INCI == "" || seen[o.Name] {
			t.Errorf("%s: source %q, INCI %q, twice: %v", o.Name, o.Source, o.INCI, seen[o.Name])
		}
		seen[o.Name] = true
	}
	if len(seen) == 0 {
		t.Error("the table is empty")
	}
}
