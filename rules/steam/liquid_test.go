package steam_test

import (
	"fmt"
	"math"
	"testing"

	"bainward/rules/steam"
)

func TestPropertiesOfSaturatedWater(t *testing.T) {
	for _, r := range table(t, "saturation.csv") {
		c := r["celsius"]
		near(t, fmt.Sprint("pressure at ", c), steam.VapourPressure(c)/1000, r["kilopascal"], 0.0001)
		near(t, fmt.Sprint("latent heat at ", c), steam.LatentHeat(c)/1000, r["latent_heat_kj_kg"], 0.02)
		near(t, fmt.Sprint("density at ", c), steam.Density(c), r["density_kg_m3"], 0.005)
		near(t, fmt.Sprint("heat capacity at ", c), steam.HeatCapacity(c)/1000, r["heat_capacity_kj_kgk"], 0.0001)
	}
}

func TestAKilowattBoilsOff1595GramsAnHour(t *testing.T) {
	// P/h_fg with 2256.47 kJ/kg (IAPWS-IF97): 1 kW → 1.595 kg/h; a kilogram at
	// the boil is dry after 37.6 min.
	near(t, "kg/h", 1000/steam.LatentHeat(100)*3600, 1.595, 0.002*1.595)
	near(t, "minutes", steam.LatentHeat(100)/1000/60, 37.6, 0.002*37.6)
}

func TestHeatToBringAKilogramToTheBoil(t *testing.T) {
	// h_f(100 °C) - h_f(20 °C) = 335.18 kJ/kg (IAPWS-IF97).
	heat := 0.0
	for c := 20.05; c < 100; c += 0.1 {
		heat += 0.1 * steam.HeatCapacity(c)
	}
	near(t, "kJ/kg", heat/1000, 335.18, 0.1)
}

func TestPropertiesHoldTheirEndValues(t *testing.T) {
	for name, f := range map[string]func(float64) float64{
		"LatentHeat": steam.LatentHeat, "Density": steam.Density, "HeatCapacity": steam.HeatCapacity,
	} {
		for far, end := range map[float64]float64{-20: 0, math.Inf(-1): 0, 200: 130, math.Inf(1): 130} {
			if f(far) != f(end) {
				t.Errorf("%s(%v) = %v, want that of %v °C: %v", name, far, f(far), end, f(end))
			}
		}
		if !math.IsNaN(f(math.NaN())) {
			t.Errorf("%s(NaN) = %v, want NaN", name, f(math.NaN()))
		}
	}
}
