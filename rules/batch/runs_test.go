package batch_test

import (
	"os"
	"testing"

	"bainward/rules"
	"bainward/rules/batch"
	"bainward/rules/steam"
	"bainward/rules/trace"
	"bainward/sensors"
)

// seen is when a recorded run came to the boil and its oil to the floor, s from
// the lighting.
func seen(t *testing.T, path string, boils, floor float64) (boil, hold float64) {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := trace.Read(f)
	if err != nil {
		t.Fatal(err)
	}
	lit := -1.0
	for _, r := range rows {
		at := r.At.Seconds()
		for _, e := range r.Events {
			if e.Kind == rules.Light {
				lit = at
			}
		}
		if lit < 0 {
			continue
		}
		if c := r.Probes[sensors.Bath]; boil == 0 && c.OK() && c.Celsius() > boils-1 {
			boil = at - lit
		}
		if c := r.Probes[sensors.Oil]; hold == 0 && c.OK() && c.Celsius() >= floor {
			hold = at - lit
		}
	}
	if boil == 0 || hold == 0 {
		t.Fatalf("%s never boils or never holds", path)
	}
	return boil, hold
}

// A batch that another simulator played is within what the plan expected. The
// run is one of testdata/runs: 1.85 kg of water at 1500 m, 220 g of wilted herb
// with 70 % of water, 0.73 kg of oil, 900 W.
func TestARecordedBatchKeepsToThePlan(t *testing.T) {
	a := batch.Ask{
		Recipe:  rules.Recipe{Herb: "Hypericum perforatum", Fresh: true, HerbG: 220, Oil: "sunflower", OilML: 800},
		Rig:     rules.Rig{PanInsideDiameter: 250, DishOutsideDiameter: 205, DishBaseHeight: 30},
		Site:    batch.Site{Elevation: 1500, RoomC: 19},
		Vessels: batch.Vessels{HobW: 900},
		Given:   batch.Given{FillKg: 1.85},
	}
	p := batch.Reckon(a)
	near(t, "boiling point", p.BoilsC, steam.BoilingPoint(steam.StandardPressure(1500)), 1e-12)
	boil, hold := seen(t, "../../testdata/runs/nominal-1500m.csv", p.BoilsC, p.FloorC)
	t.Logf("boiled after %.0f s, foreseen %.0f; held after %.0f s, foreseen %.0f", boil, p.Times.Boil, hold, p.Times.Hold)
	if b := p.Times.Boil; boil < b.P10 || boil > b.P90 {
		t.Errorf("it boiled after %v s, foreseen was %v", boil, b)
	}
	if h := p.Times.Hold; hold < h.P10 || hold > h.P90 {
		t.Errorf("it held after %v s, foreseen was %v", hold, h)
	}
}
