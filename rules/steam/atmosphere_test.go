package steam_test

import (
	"fmt"
	"math"
	"testing"

	"bainward/rules/steam"
)

func TestStandardPressureByGeopotentialAltitude(t *testing.T) {
	for _, r := range table(t, "atmosphere-geopotential.csv") {
		h := r["geopotential_m"]
		geometric := 6356766 * h / (6356766 - h) // ISO 2533, solved for the elevation
		p := steam.StandardPressure(geometric)
		near(t, fmt.Sprint("pressure at ", h), p, r["pascal"], 0.1)
		near(t, fmt.Sprint("boiling point at ", h), steam.BoilingPoint(p), r["boiling_celsius"], 0.002)
	}
}

func TestStandardPressureByElevation(t *testing.T) {
	for _, r := range table(t, "atmosphere-geometric.csv") {
		near(t, fmt.Sprint(r["geometric_m"], " m"), steam.StandardPressure(r["geometric_m"]), r["pascal"], 0.1)
	}
}

func TestHomeCanningTableAgrees(t *testing.T) {
	for _, r := range table(t, "canning-altitude.csv") {
		got := steam.BoilingPoint(steam.StandardPressure(r["feet"] * 0.3048))
		near(t, fmt.Sprint(r["feet"], " ft"), got, r["celsius"], 0.6)
	}
}

func TestNoStandardPressureOutsideTheLowestLayer(t *testing.T) {
	for _, m := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -2001, 11100, -6356766} {
		if got := steam.StandardPressure(m); !math.IsNaN(got) {
			t.Errorf("StandardPressure(%v) = %v, want NaN", m, got)
		}
	}
	// ISO 2533: 22632 Pa at 11 km geopotential (from memory).
	near(t, "top of the layer", steam.StandardPressure(11019), 22632, 1)
	// Dead Sea shore, -430 m: 106.6 kPa.
	near(t, "Dead Sea", steam.StandardPressure(-430), 106600, 100)
}
