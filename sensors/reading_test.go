package sensors_test

import (
	"math"
	"strings"
	"testing"

	"periph.io/x/conn/v3/physic"

	"bainward/sensors"
)

// faults returns every fault, NoFault first.
func faults() []sensors.Fault {
	var all []sensors.Fault
	for f := sensors.NoFault; f.Code() != "unknown"; f++ {
		all = append(all, f)
	}
	return all
}

func TestEveryFaultHasItsOwnWordAndCode(t *testing.T) {
	all := faults()
	if last := all[len(all)-1]; last != sensors.Jumped {
		t.Fatalf("the last fault is %v, want %v", last, sensors.Jumped)
	}
	words, codes := map[string]sensors.Fault{}, map[string]sensors.Fault{}
	for _, f := range all {
		word, code := f.String(), f.Code()
		if word == "" {
			t.Errorf("fault %d has no word", f)
		}
		if (code == "") != (f == sensors.NoFault) {
			t.Errorf("fault %d (%s): code %q; only no fault has none", f, word, code)
		}
		if strings.Trim(code, "abcdefghijklmnopqrstuvwxyz-") != "" {
			t.Errorf("fault %d: code %q has more than small letters and dashes", f, code)
		}
		if other, taken := words[word]; taken {
			t.Errorf("faults %d and %d are both %q", other, f, word)
		}
		if other, taken := codes[code]; taken {
			t.Errorf("faults %d and %d have the code %q", other, f, code)
		}
		words[word], codes[code] = f, f
	}
	if got := sensors.Fault(255).String(); got != "unknown fault" {
		t.Errorf("fault 255 is %q", got)
	}
}

func TestAFaultyReadingHasNoTemperature(t *testing.T) {
	for _, f := range faults()[1:] {
		r := sensors.Failed(f)
		if r.OK() || !math.IsNaN(r.Celsius()) {
			t.Errorf("%v: OK %v, %v °C; want neither", f, r.OK(), r.Celsius())
		}
	}
}

func TestReadingsAreKeptOnTheGrid(t *testing.T) {
	for _, c := range []struct {
		celsius float64
		want    physic.Temperature
	}{
		{0, physic.ZeroCelsius},
		{25.0625, physic.ZeroCelsius + 25062500*physic.MicroKelvin}, // a DS18B20's step is exact
		{-0.0625, physic.ZeroCelsius - 62500*physic.MicroKelvin},
		{20.00004, physic.ZeroCelsius + 20*physic.Kelvin},
		{20.00006, physic.ZeroCelsius + 20*physic.Kelvin + sensors.Grid},
		{-20.00006, physic.ZeroCelsius - 20*physic.Kelvin - sensors.Grid},
	} {
		got := sensors.AtCelsius(c.celsius)
		if got.Temperature != c.want || !got.OK() {
			t.Errorf("%v °C: got %v, want %v", c.celsius, got.Temperature, c.want)
		}
		exact := physic.ZeroCelsius + physic.Temperature(math.Round(c.celsius*1e9))
		if again := sensors.At(exact); again != got {
			t.Errorf("%v °C: At gives %v, AtCelsius %v", c.celsius, again.Temperature, got.Temperature)
		}
	}
	if got := sensors.At(-sensors.Grid * 3 / 2); got.Temperature != -2*sensors.Grid {
		t.Errorf("−1.5 steps: got %v, want −2 steps", got.Temperature)
	}
}

func TestOnlyAMeasuredPressureIsOK(t *testing.T) {
	for _, c := range []struct {
		p    sensors.Pressure
		want bool
	}{
		{sensors.Pressure{Pascal: 100653}, true},
		{sensors.Pressure{}, false},
		{sensors.Pressure{Pascal: 100653, Fault: sensors.Stale}, false},
		{sensors.Pressure{Fault: sensors.NotFitted}, false},
	} {
		if c.p.OK() != c.want {
			t.Errorf("%+v: OK is %v", c.p, c.p.OK())
		}
	}
}

func TestEveryRoleHasItsOwnWord(t *testing.T) {
	seen := map[string]bool{}
	for r := range sensors.RoleCount {
		word := r.String()
		if word == "" || word == sensors.RoleCount.String() || seen[word] {
			t.Errorf("role %d is %q", r, word)
		}
		seen[word] = true
	}
}
