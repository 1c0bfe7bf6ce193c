package steam_test

import (
	"testing"

	"bainward/rules/steam"
)

// functions by name, each of an argument near x.
var functions = map[string]func(x float64) float64{
	"BoilingPoint":     func(x float64) float64 { return steam.BoilingPoint(101325 + x) },
	"VapourPressure":   func(x float64) float64 { return steam.VapourPressure(95 + x) },
	"LatentHeat":       func(x float64) float64 { return steam.LatentHeat(95 + x) },
	"Density":          func(x float64) float64 { return steam.Density(95 + x) },
	"HeatCapacity":     func(x float64) float64 { return steam.HeatCapacity(95 + x) },
	"StandardPressure": func(x float64) float64 { return steam.StandardPressure(120 + x) },
	"StillAirEvaporation": func(x float64) float64 {
		return steam.StillAirEvaporation(90+x, 20, 0.5, 101325)
	},
}

func TestNoFunctionAllocates(t *testing.T) {
	for name, f := range functions {
		if n := testing.AllocsPerRun(100, func() { f(0.5) }); n != 0 {
			t.Errorf("%s allocates %v times", name, n)
		}
	}
}

func Benchmark(b *testing.B) {
	for name, f := range functions {
		b.Run(name, func(b *testing.B) {
			x := 0.3
			for b.Loop() {
				f(x)
				x += 1e-9
			}
		})
	}
}
