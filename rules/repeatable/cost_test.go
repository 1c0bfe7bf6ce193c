package repeatable_test

import (
	"testing"

	"bainward/rules/repeatable"
)

func Benchmark(b *testing.B) {
	for name, f := range map[string]func(x float64) float64{
		"Exp":      func(x float64) float64 { return repeatable.Exp(x) },
		"Log":      func(x float64) float64 { return repeatable.Log(x) },
		"Pow":      func(x float64) float64 { return repeatable.Pow(x, 5.2559) },
		"Cbrt":     func(x float64) float64 { return repeatable.Cbrt(x) },
		"Erf":      func(x float64) float64 { return repeatable.Erf(x) },
		"Phi":      func(x float64) float64 { return repeatable.Phi(-x) },
		"Quantile": func(x float64) float64 { return repeatable.Quantile(x / 2) },
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			x := 0.3
			for b.Loop() {
				f(x)
				x += 1e-9
			}
		})
	}
}
