package amount

import (
	"fmt"
	"math"
	"time"

	"bainward/rules"
)

// Exact by definition (NIST Handbook 44, appendix C).
const (
	KgPerOunce     = 0.028349523125
	KgPerPound     = 0.45359237
	MlPerFlOz      = 29.5735295625
	mmPerInch      = 25.4
	ouncesPerPound = 16
)

// Mass writes kg as a kitchen scale shows it: "220 g", "1.45 kg", "7.8 oz",
// "3 lb 3.1 oz".
func Mass(u rules.Units, kg float64) string {
	switch {
	case !finite(kg):
		return "an unknown weight"
	case u != rules.US && math.Abs(kg) < 0.9995:
		return fmt.Sprintf("%.0f g", kg*1000)
	case u != rules.US:
		return fmt.Sprintf("%.2f kg", kg)
	}
	tenths := math.Round(kg / KgPerOunce * 10)
	if math.Abs(tenths) < ouncesPerPound*10 {
		return fmt.Sprintf("%.1f oz", tenths/10)
	}
	pounds := math.Trunc(tenths / (ouncesPerPound * 10))
	return fmt.Sprintf("%.0f lb %.1f oz", pounds, math.Abs(tenths-float64(pounds*ouncesPerPound*10))/10)
}

// Volume writes litres as a measuring jug shows them.
func Volume(u rules.Units, l float64) string {
	if !finite(l) {
		return "an unknown volume"
	}
	return u.Water(l)
}

// Length writes millimetres, for US readers in inches.
func Length(u rules.Units, mm float64) string {
	switch {
	case !finite(mm):
		return "an unknown length"
	case u == rules.US:
		return fmt.Sprintf("%.1f in", mm/mmPerInch)
	}
	return fmt.Sprintf("%.0f mm", mm)
}

// Clock writes seconds as minutes and hours.
func Clock(s float64) string {
	if !finite(s) {
		return "an unknown time"
	}
	return rules.Minutes(time.Duration(math.Round(s)) * time.Second)
}

// Say writes a range as "A (L to H)", or only A where the ends read the same.
func Say(r Range, write func(float64) string) string {
	middle := write(r.P50)
	low, high := write(r.P10), write(r.P90)
	switch {
	case !finite(r.P50) || low == middle && high == middle:
		return middle
	case !finite(r.P90):
		return fmt.Sprintf("%s (%s or more)", middle, low)
	}
	return fmt.Sprintf("%s (%s to %s)", middle, low, high)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
