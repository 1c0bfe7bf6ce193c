package calibrate

import "math"

// Coverage is the factor between a standard and an expanded uncertainty: about 95 %
// of a normal distribution (JCGM 100:2008, 6.3.3).
const Coverage = 2

// Step is the resolution of a DS18B20 at 12 bits, K (data sheet 19-7487).
const Step = 0.0625

// Rectangular returns the standard uncertainty of what lies anywhere within
// ±halfWidth, no place likelier than another: halfWidth/√3 (JCGM 100:2008, 4.3.7).
func Rectangular(halfWidth float64) float64 { return halfWidth / math.Sqrt(3) }

// Resolution returns the standard uncertainty of a reading in steps of step:
// step/√12, a rectangle of half a step either way (JCGM 100:2008, F.2.2.1).
func Resolution(step float64) float64 { return Rectangular(step / 2) }

// Combined returns the standard uncertainty of a sum of independent terms of the
// standard uncertainties u (JCGM 100:2008, 5.1.2).
func Combined(u ...float64) float64 {
	sum := 0.0
	for _, x := range u {
		sum += float64(x * x)
	}
	return math.Sqrt(sum)
}

// Expanded returns the expanded uncertainty for a standard one.
func Expanded(u float64) float64 { return Coverage * u }
