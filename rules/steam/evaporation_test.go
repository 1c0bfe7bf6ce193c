package steam_test

import (
	"fmt"
	"math"
	"testing"

	"bainward/rules/steam"
)

// carrier is another published law for still air (ASHRAE Applications,
// "Natatoriums"): 0.089·(pw-pa)/Y kg/(m²·s) with kPa and kJ/kg.
func carrier(waterC, airC, humidity float64) float64 {
	pw, pa := steam.VapourPressure(waterC), humidity*steam.VapourPressure(airC)
	return 0.089 * (pw - pa) / steam.LatentHeat(waterC)
}

func TestStillAirEvaporationGivesShahsNumbers(t *testing.T) {
	for _, r := range table(t, "still-air.csv") {
		w := r["water_celsius"]
		got := 3600 * steam.StillAirEvaporation(w, 20, 0.5, 101325)
		near(t, fmt.Sprint("Shah at ", w), got, r["shah"], 0.01*r["shah"])
		near(t, fmt.Sprint("Carrier at ", w), 3600*carrier(w, 20, 0.5), r["carrier"], 0.01*r["carrier"])
		near(t, fmt.Sprint("Shah beside Carrier at ", w), got, r["carrier"], 0.3*r["carrier"])
	}
}

func TestEvaporationStaysFiniteAtTheBoil(t *testing.T) {
	// A form with the humidity ratio of the air at the water divides by the dry
	// air left there: at 95 °C it gives 79 kg/(m²·h), and no end at the boil.
	boil := steam.BoilingPoint(101325)
	at := 3600 * steam.StillAirEvaporation(boil, 20, 0.5, 101325)
	near(t, "at the boil, kg/(m²·h)", at, 17.5, 1)
	if above := 3600 * steam.StillAirEvaporation(boil+30, 20, 0.5, 101325); above != at {
		t.Errorf("above the boil: %v, want as at the boil: %v", above, at)
	}
}

func TestEvaporationRisesWithTheWaterAndFallsWithDampAir(t *testing.T) {
	last := 0.0
	for water := 25.0; water < 98; water += 0.5 {
		dry := steam.StillAirEvaporation(water, 20, 0.2, 95000)
		damp := steam.StillAirEvaporation(water, 20, 0.9, 95000)
		if dry <= last || damp >= dry {
			t.Errorf("at %v °C: %v in dry air, %v in damp air, %v half a degree cooler", water, dry, damp, last)
		}
		last = dry
	}
}

func TestNothingEvaporatesIntoAirThatIsWarmerOrDamper(t *testing.T) {
	for _, c := range []struct{ water, air, humidity float64 }{{10, 35, 1}, {20, 20, 1}, {0, 40, 0.5}, {-5, 60, 1}} {
		if got := steam.StillAirEvaporation(c.water, c.air, c.humidity, 101325); got != 0 {
			t.Errorf("water %v °C, air %v °C at %v: %v, want 0", c.water, c.air, c.humidity, got)
		}
	}
}

func TestEvaporationHoldsItsEnds(t *testing.T) {
	f := steam.StillAirEvaporation
	for name, pair := range map[string][2]float64{
		"humidity above 1": {f(80, 20, 55, 101325), f(80, 20, 1, 101325)},
		"humidity below 0": {f(80, 20, -1, 101325), f(80, 20, 0, 101325)},
		"frost":            {f(80, -55, 0.5, 101325), f(80, -40, 0.5, 101325)},
		"hot kitchen":      {f(95, 90, 0.5, 101325), f(95, 60, 0.5, 101325)},
	} {
		if pair[0] != pair[1] || pair[0] <= 0 {
			t.Errorf("%s: %v, want %v", name, pair[0], pair[1])
		}
	}
	nan := math.NaN()
	for _, got := range []float64{f(nan, 20, 0.5, 1e5), f(80, nan, 0.5, 1e5), f(80, 20, nan, 1e5), f(80, 20, 0.5, nan), f(80, 20, 0.5, 0)} {
		if !math.IsNaN(got) {
			t.Errorf("with NaN or no pressure: %v, want NaN", got)
		}
	}
}
