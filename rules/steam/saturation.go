package steam

import "math"

// The range of the saturation line. The lower end of the temperature is that of
// supercooled water, for the air around the bath: the equation is published
// from 0 °C, where it gives 611.213 Pa, but stays within 0.5 % of Murphy and
// Koop 2005 (from memory) down to -40 °C.
const (
	criticalC   = 373.946
	criticalPa  = 22.064e6
	freezingPa  = 611.213
	supercooled = -40.0
)

const kelvin = 273.15 // 0 °C in K

// Coefficients of the saturation line: IAPWS R7-97(2012), table 34.
const (
	n1  = 0.11670521452767e4
	n2  = -0.72421316703206e6
	n3  = -0.17073846940092e2
	n4  = 0.12020824702470e5
	n5  = -0.32325550322333e7
	n6  = 0.14915108613530e2
	n7  = -0.48232657361591e4
	n8  = 0.40511340542057e6
	n9  = -0.23855557567849
	n10 = 0.65017534844798e3
)

// BoilingPoint returns the temperature in °C at which water boils under pascal.
// Below 611.213 Pa and above 22.064 MPa there is no boiling: the result is NaN.
//
// Source: IAPWS R7-97(2012), Industrial Formulation 1997, equation 31.
func BoilingPoint(pascal float64) float64 {
	if !(pascal >= freezingPa && pascal <= criticalPa) {
		return math.NaN()
	}
	b := math.Sqrt(math.Sqrt(pascal / 1e6))
	bb := float64(b * b)
	e := bb + float64(n3*b) + n6
	f := float64(n1*bb) + float64(n4*b) + n7
	g := float64(n2*bb) + float64(n5*b) + n8
	d := float64(2*g) / (-f - math.Sqrt(float64(f*f)-float64(4*float64(e*g))))
	s := n10 + d
	root := math.Sqrt(float64(s*s) - float64(4*(n9+float64(n10*d))))
	return float64((s-root)/2) - kelvin
}

// VapourPressure returns the pressure in Pa of vapour over liquid water at
// celsius. Below -40 °C and above 373.946 °C the result is NaN; below 0 °C it
// is that over supercooled water, which the equation was not published for.
//
// Source: IAPWS R7-97(2012), Industrial Formulation 1997, equation 30.
func VapourPressure(celsius float64) float64 {
	if !(celsius >= supercooled && celsius <= criticalC) {
		return math.NaN()
	}
	t := celsius + kelvin
	v := t + n9/(t-n10)
	vv := float64(v * v)
	a := vv + float64(n1*v) + n2
	b := float64(n3*vv) + float64(n4*v) + n5
	c := float64(n6*vv) + float64(n7*v) + n8
	r := float64(2*c) / (-b + math.Sqrt(float64(b*b)-float64(4*float64(a*c))))
	rr := float64(r * r)
	return 1e6 * float64(rr*rr)
}
