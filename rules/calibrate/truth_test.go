package calibrate_test

import (
	"strings"
	"testing"

	"bainward/rules/calibrate"
	"bainward/rules/steam"
)

// The boiling point by IAPWS R7-97(2012), equation 31, and by depth: 10 cm of water
// add 0.94 kPa and so 0.26 K.
func TestTheBoilingPointOfTheDay(t *testing.T) {
	for _, r := range []struct{ pascal, depth, want, within float64 }{
		{101325, 0, 99.974, 0.001},
		{95000, 0, 98.178, 0.001},
		{85000, 0, 95.125, 0.001},
		{101325, 0.10, 99.974 + 0.26, 0.005},
	} {
		b, err := calibrate.Boil(r.pascal, r.depth)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "the boiling point", b.C, r.want, r.within)
	}
}

// What a barometer is off by enters with 0.2765 K/kPa: 2 hPa, a rectangle.
func TestTheBarometerIsPartOfTheUncertainty(t *testing.T) {
	perKPa := (steam.BoilingPoint(101325+500) - steam.BoilingPoint(101325-500))
	near(t, "the sensitivity in K/kPa", perKPa, 0.2765, 1e-3)
	b, err := calibrate.Boil(101325, 0)
	if err != nil {
		t.Fatal(err)
	}
	want := calibrate.Combined(calibrate.Rectangular(0.2*0.2765), calibrate.Rectangular(0.1), calibrate.Rectangular(0.01*9.4*0.2765))
	near(t, "the uncertainty at the surface", b.U, want, 1e-3)
	deep, err := calibrate.Boil(101325, 0.1)
	if err != nil {
		t.Fatal(err)
	}
	if deep.U <= b.U {
		t.Errorf("10 cm down the boiling point is known to %.3f K, at the surface to %.3f K", deep.U, b.U)
	}
}

// The ice of a kitchen is known to a tenth of a kelvin, and lies at 0.000 °C.
func TestTheIcePoint(t *testing.T) {
	ice := calibrate.Ice()
	near(t, "the ice point", ice.C, 0, 0)
	near(t, "its uncertainty", ice.U, calibrate.Rectangular(0.1), 1e-12)
}

// What cannot be is refused in words.
func TestNoBoilingPointFromNonsense(t *testing.T) {
	for _, r := range []struct {
		pascal, depth float64
		want          string
	}{
		{101325, -0.01, "depth -1 cm"},
		{101325, 0.5, "depth 50 cm"},
		{1013, 0.05, "look at the barometer"},
	} {
		if _, err := calibrate.Boil(r.pascal, r.depth); err == nil || !strings.Contains(err.Error(), r.want) {
			t.Errorf("Boil(%v, %v): %v, want %q", r.pascal, r.depth, err, r.want)
		}
	}
}

// The weather alone moves the boiling point by 0.83 K either way at sea level:
// 3 kPa at 0.2765 K/kPa.
func TestAnElevationIsNoBarometer(t *testing.T) {
	if err := calibrate.NoBarometer(0); !strings.Contains(err.Error(), "±0.83 K") || !strings.Contains(err.Error(), "±3 kPa") {
		t.Errorf("it is refused with %q", err)
	}
}
