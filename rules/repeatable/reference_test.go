package repeatable_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"bainward/rules/repeatable"
)

// reference is one line of testdata/reference.csv, which mpmath 1.2.1 worked
// out to 60 digits (testdata/make.py). The true value is value + rest.
type reference struct {
	function          string
	x, y, value, rest float64
}

func references(t *testing.T) []reference {
	t.Helper()
	f, err := os.Open("testdata/reference.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var all []reference
	for _, l := range lines[1:] {
		r := reference{function: l[0], x: hex(t, l[1]), value: hex(t, l[3]), rest: hex(t, l[4])}
		if l[2] != "" {
			r.y = hex(t, l[2])
		}
		all = append(all, r)
	}
	return all
}

func hex(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// ulps returns how many steps of want's last place got is off.
func ulps(got, want float64) float64 {
	if got == want || math.IsNaN(got) && math.IsNaN(want) {
		return 0
	}
	return math.Abs(got-want) / ulp(want)
}

// ulp returns the distance from x to its neighbour away from zero.
func ulp(x float64) float64 {
	x = math.Abs(x)
	return math.Nextafter(x, math.Inf(1)) - x
}

func TestEveryFunctionAgreesWithSixtyDigits(t *testing.T) {
	functions := map[string]func(r reference) float64{
		"exp":      func(r reference) float64 { return repeatable.Exp(r.x) },
		"log":      func(r reference) float64 { return repeatable.Log(r.x) },
		"pow":      func(r reference) float64 { return repeatable.Pow(r.x, r.y) },
		"cbrt":     func(r reference) float64 { return repeatable.Cbrt(r.x) },
		"erf":      func(r reference) float64 { return repeatable.Erf(r.x) },
		"erfc":     func(r reference) float64 { return repeatable.Erfc(r.x) },
		"phi":      func(r reference) float64 { return repeatable.Phi(r.x) },
		"quantile": func(r reference) float64 { return repeatable.Quantile(r.x) },
	}
	// In ulp of the result. Quantile is as good as its published coefficients.
	limits := map[string]float64{
		"exp": 1, "log": 1, "pow": 1, "cbrt": 1, "erf": 1, "erfc": 2, "phi": 2, "quantile": 8,
	}
	worst := map[string]float64{}
	for _, r := range references(t) {
		f, known := functions[r.function]
		if !known {
			t.Fatalf("reference.csv names the function %q, which this test does not know", r.function)
		}
		off := math.Abs(f(r)-r.value-r.rest) / ulp(r.value)
		worst[r.function] = max(worst[r.function], off)
		if off > limits[r.function] {
			t.Errorf("%s(%v, %v) = %v, want %v: %.1f ulp off", r.function, r.x, r.y, f(r), r.value, off)
		}
	}
	for name := range functions {
		w, seen := worst[name]
		if !seen {
			t.Errorf("reference.csv has no line for %s", name)
		}
		t.Logf("%-8s worst %.2f ulp", name, w)
	}
}
