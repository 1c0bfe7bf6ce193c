package bench

import (
	"math"
	"testing"
)

// near fails unless got is within tolerance of want.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.6g, want %.6g ± %.2g", what, got, want, tolerance)
	}
}

// The table is IAPWS-IF97's saturation line (python3-iapws 1.5): another
// formulation than the bench's, of the same water.
func TestWaterFollowsTheSteamTable(t *testing.T) {
	for _, row := range []struct{ c, kPa, latent, liquid, vapour, cp float64 }{
		{20, 2.3392, 2453.55, 998.16, 0.01731, 4.1851},
		{40, 7.3844, 2406.00, 992.18, 0.05124, 4.1788},
		{60, 19.9458, 2357.69, 983.18, 0.13042, 4.1829},
		{80, 47.4147, 2308.07, 971.78, 0.29366, 4.1956},
		{90, 70.1824, 2282.56, 965.30, 0.42388, 4.2051},
		{95, 84.6089, 2269.60, 961.89, 0.50489, 4.2106},
		{100, 101.4180, 2256.47, 958.35, 0.59814, 4.2166},
		{105, 120.9021, 2243.18, 954.71, 0.70498, 4.2232},
	} {
		pa, slope := vapourPressure(row.c)
		near(t, "vapour pressure, kPa", pa/1000, row.kPa, 2e-4*row.kPa)
		near(t, "latent heat, kJ/kg", latentHeat(row.c)/1000, row.latent, 2e-4*row.latent)
		near(t, "liquid density", liquidDensity(row.c), row.liquid, 0.05)
		near(t, "vapour density", vapourDensity(row.c), row.vapour, 2e-4*row.vapour)
		near(t, "specific heat, kJ/kgK", liquidHeat(row.c)/1000, row.cp, 1e-3*row.cp)
		above, _ := vapourPressure(row.c + 0.01)
		below, _ := vapourPressure(row.c - 0.01)
		near(t, "slope of the vapour pressure", slope, (above-below)/0.02, 1e-4*slope)
	}
}

// 419.10 − 83.92 kJ/kg in the same table.
func TestAKilogramOfWaterTakes335KilojoulesFrom20To100(t *testing.T) {
	near(t, "heat, kJ", (liquidEnthalpy(100)-liquidEnthalpy(20))/1000, 335.18, 0.2)
}

// ISO 2533 pressures by geopotential height, with IF97's boiling points there.
func TestWaterBoilsCoolerHigherUp(t *testing.T) {
	for _, row := range []struct{ metres, pa, boils float64 }{
		{0, 101325.0, 99.974},
		{500, 95460.8, 98.312},
		{1000, 89874.6, 96.649},
		{1500, 84556.0, 94.983},
		{2000, 79495.2, 93.315},
		{2500, 74682.5, 91.645},
		{3000, 70108.5, 89.972},
		{4000, 61640.2, 86.619},
	} {
		near(t, "standard atmosphere", PressureAt(row.metres), row.pa, 0.1)
		near(t, "boiling point", boilingPoint(PressureAt(row.metres), 100), row.boils, 0.01)
	}
}

// Carrier's equation worked by hand with the ASHRAE vapour pressures (Hyland
// and Wexler): air at 20 °C and 50 %, still.
func TestEvaporationIsCarriers(t *testing.T) {
	room, _ := vapourPressure(20)
	for c, want := range map[float64]float64{60: 2.55, 70: 4.12, 80: 6.42, 90: 9.69, 95: 11.78} {
		near(t, "kg/(m² h)", evaporation(c, room/2, 0)*3600, want, 0.01*want)
	}
	if evaporation(5, room, 0) != 0 {
		t.Error("water colder than the dew point of the room gives off vapour")
	}
}

// The bench must differ from Shah's law by no more than such laws differ: Shah
// (ASHRAE Trans. 120(2), 2014) gives 14.18 kg/(m² h) at 95 °C, and laws of the
// kind are good to some 30 %.
func TestEvaporationAgreesWithShahsWithinWhatSuchLawsAreGoodFor(t *testing.T) {
	room, _ := vapourPressure(20)
	near(t, "kg/(m² h)", evaporation(95, room/2, 0)*3600, 14.18, 0.3*14.18)
}
