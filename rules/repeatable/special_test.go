package repeatable_test

import (
	"fmt"
	"math"
	"testing"

	"bainward/rules/repeatable"
)

var (
	inf  = math.Inf(1)
	nan  = math.NaN()
	null = math.Copysign(0, -1)
)

func TestSpecialCases(t *testing.T) {
	type point struct{ x, want float64 }
	for name, c := range map[string]struct {
		f      func(float64) float64
		points []point
	}{
		"Exp": {repeatable.Exp, []point{
			{nan, nan}, {inf, inf}, {-inf, 0}, {0, 1}, {null, 1}, {709.79, inf}, {-745.2, 0},
			{709.78, 1.7928227943945155e308}, {-745.13, math.SmallestNonzeroFloat64}, {1e300, inf}, {-1e300, 0},
		}},
		"Log": {repeatable.Log, []point{
			{nan, nan}, {inf, inf}, {-inf, nan}, {-1, nan}, {0, -inf}, {null, -inf}, {1, 0}, {2, math.Ln2},
			{math.SmallestNonzeroFloat64, -744.4400719213812}, {math.MaxFloat64, 709.782712893384},
		}},
		"Cbrt": {repeatable.Cbrt, []point{
			{nan, nan}, {inf, inf}, {-inf, -inf}, {0, 0}, {null, null}, {8, 2}, {-27, -3}, {0.125, 0.5},
			{math.SmallestNonzeroFloat64, math.Cbrt(math.SmallestNonzeroFloat64)},
		}},
		"Erf":      {repeatable.Erf, []point{{nan, nan}, {inf, 1}, {-inf, -1}, {0, 0}, {null, null}, {30, 1}}},
		"Erfc":     {repeatable.Erfc, []point{{nan, nan}, {inf, 0}, {-inf, 2}, {0, 1}, {30, 0}, {-30, 2}}},
		"Phi":      {repeatable.Phi, []point{{nan, nan}, {inf, 1}, {-inf, 0}, {0, 0.5}, {40, 1}, {-40, 0}}},
		"Quantile": {repeatable.Quantile, []point{{nan, nan}, {-0.1, nan}, {1.1, nan}, {0, -inf}, {1, inf}, {0.5, 0}}},
	} {
		for _, p := range c.points {
			if got := c.f(p.x); !same(got, p.want) {
				t.Errorf("%s(%v) = %v, want %v", name, p.x, got, p.want)
			}
		}
	}
}

func TestSpecialCasesOfPow(t *testing.T) {
	for _, c := range []struct{ x, y, want float64 }{
		{nan, 0, 1}, {1, nan, 1}, {nan, 1, nan}, {2, nan, nan}, {0, 0, 1}, {inf, 0, 1},
		{0, 2, 0}, {0, -2, inf}, {0, inf, 0}, {0, -inf, inf}, {inf, 2, inf}, {inf, -2, 0},
		{2, inf, inf}, {2, -inf, 0}, {0.5, inf, 0}, {0.5, -inf, inf}, {inf, inf, inf}, {inf, -inf, 0},
		{-1, 2, nan}, {-8, 1.0 / 3, nan}, {3.7, 1, 3.7}, {-3, 1, nan}, {2, 10, 1024}, {10, 3, 1000},
		{1e300, 1e300, inf}, {1e-300, 1e300, 0}, {1 + 1e-15, 1e300, inf}, {2, 1e-320, 1}, {2, 1024, inf},
		{2, -1074, math.SmallestNonzeroFloat64},
	} {
		if got := repeatable.Pow(c.x, c.y); !same(got, c.want) {
			t.Errorf("Pow(%v, %v) = %v, want %v", c.x, c.y, got, c.want)
		}
	}
}

// same reports equality to the bit, with every NaN alike.
func same(a, b float64) bool {
	return math.Float64bits(a) == math.Float64bits(b) || math.IsNaN(a) && math.IsNaN(b)
}

func ExamplePow() {
	fmt.Printf("%.4f", repeatable.Pow(0.5, 0.25))
	// Output: 0.8409
}
