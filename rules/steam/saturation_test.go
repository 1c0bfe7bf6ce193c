package steam_test

import (
	"fmt"
	"math"
	"testing"

	"bainward/rules/steam"
)

func TestVapourPressureGivesTable35OfIF97(t *testing.T) {
	for _, r := range table(t, "if97-table-35.csv") {
		want := r["megapascal"] * 1e6
		near(t, fmt.Sprint(r["kelvin"], " K"), steam.VapourPressure(r["kelvin"]-273.15), want, 1e-8*want)
	}
}

func TestBoilingPointGivesTable36OfIF97(t *testing.T) {
	for _, r := range table(t, "if97-table-36.csv") {
		got := steam.BoilingPoint(r["megapascal"]*1e6) + 273.15
		near(t, fmt.Sprint(r["megapascal"], " MPa"), got, r["kelvin"], 1e-8*r["kelvin"])
	}
}

func TestBoilingPointByPressure(t *testing.T) {
	for _, r := range table(t, "boiling-point.csv") {
		near(t, fmt.Sprint(r["kilopascal"], " kPa"), steam.BoilingPoint(r["kilopascal"]*1000), r["celsius"], 0.001)
	}
}

func TestWaterBoilsBelowOneHundredAtSeaLevel(t *testing.T) {
	// IAPWS R7-97 equation 31; the steam point of ITS-90 is 99.974 °C.
	near(t, "boiling point at 101325 Pa", steam.BoilingPoint(101325), 99.9743, 0.00005)
	slope := (steam.BoilingPoint(101825) - steam.BoilingPoint(100825)) // K for 1 kPa
	near(t, "slope in K/kPa", slope, 0.2765, 0.00005)
	// The worked example of the BMP280 data sheet ends at 100653.25 Pa.
	near(t, "boiling point at 100653.25 Pa", steam.BoilingPoint(100653.25), 99.788, 0.001)
	// Ten centimetres of water add 0.94 kPa and raise the boiling point at the
	// bottom by 0.26 K.
	depth := steam.BoilingPoint(101325+0.10*958.35*9.80665) - steam.BoilingPoint(101325)
	near(t, "rise at 10 cm depth", depth, 0.26, 0.005)
}

func TestTheTwoEquationsUndoEachOther(t *testing.T) {
	for c := 0.0; c <= 373.9; c += 0.1 {
		near(t, fmt.Sprint(c, " °C"), steam.BoilingPoint(math.Max(steam.VapourPressure(c), 611.213)), c, 1e-5)
	}
}

func TestVapourPressureAgreesWithHylandAndWexler(t *testing.T) {
	for _, r := range table(t, "hyland-wexler.csv") {
		near(t, fmt.Sprint(r["celsius"], " °C"), steam.VapourPressure(r["celsius"]), r["pascal"], 0.0002*r["pascal"])
	}
}

func TestVapourPressureBelowFreezingIsThatOfSupercooledWater(t *testing.T) {
	// Murphy and Koop, Q. J. R. Meteorol. Soc. 131 (2005) 1539-1565 (from memory).
	for celsius, want := range map[float64]float64{-10: 286.5, -20: 125.4, -30: 50.9, -40: 18.9} {
		near(t, fmt.Sprint(celsius, " °C"), steam.VapourPressure(celsius), want, 0.005*want)
	}
}

// The formula of Magnus, as in WMO-No. 8 annex 4.B, holds from -45 to 60 °C.
// It is what most programs use; at the bath it is wrong, and a vapour pressure
// of its kind must not pass for ours.
func TestMagnusIsWrongAtTheBath(t *testing.T) {
	magnus := func(c float64) float64 { return 611.2 * math.Exp(17.62*c/(243.12+c)) }
	for celsius, percent := range map[float64]float64{80: 1.1, 90: 1.7, 95: 2.0, 100: 2.4} {
		off := 100 * (magnus(celsius)/steam.VapourPressure(celsius) - 1)
		near(t, fmt.Sprint("Magnus at ", celsius, " °C, percent too high"), off, percent, 0.06)
	}
	near(t, "Magnus at 20 °C", magnus(20)/steam.VapourPressure(20), 1, 0.003)
}

func TestNoBoilingPointOutsideTheSaturationLine(t *testing.T) {
	for _, p := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 0, 611.2, 22.065e6} {
		if got := steam.BoilingPoint(p); !math.IsNaN(got) {
			t.Errorf("BoilingPoint(%v) = %v, want NaN", p, got)
		}
	}
	for _, c := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -40.1, 374} {
		if got := steam.VapourPressure(c); !math.IsNaN(got) {
			t.Errorf("VapourPressure(%v) = %v, want NaN", c, got)
		}
	}
	near(t, "boiling point at the low end", steam.BoilingPoint(611.213), 0, 1e-5)
	near(t, "boiling point at the high end", steam.BoilingPoint(22.064e6), 373.946, 1e-3)
	near(t, "pressure at the high end", steam.VapourPressure(373.946), 22.064e6, 30)
}

func ExampleBoilingPoint() {
	fmt.Printf("%.2f °C at the sea, %.2f °C at 2000 m",
		steam.BoilingPoint(101325), steam.BoilingPoint(steam.StandardPressure(2000)))
	// Output: 99.97 °C at the sea, 93.32 °C at 2000 m
}
