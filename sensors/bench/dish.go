package bench

import "math"

// Place is where the dish is.
type Place uint8

// The places of the dish.
const (
	Out     Place = iota // on the bench beside the bath
	OnStand              // over the water at its base height
	OnFloor              // on the pan floor: heated directly
)

// dish is the glass dish with what is in it.
type dish struct {
	spec      DishSpec
	herb      HerbSpec
	place     Place
	oil       float64 // kg
	dry       float64 // herb without its water, kg
	moisture  float64 // water still in the herb, kg
	brought   float64 // water that the herb came with, kg
	bubbling  float64 // herb water leaving, kg/s
	inside    float64 // area of the base, m²
	perimeter float64 // m
}

const (
	glassHeat   = 840  // J/(kg K), borosilicate (from memory)
	glassCarry  = 1.1  // W/(m K), borosilicate (from memory)
	herbHeat    = 1500 // J/(kg K), dry plant matter (assumed)
	emptyHeat   = 2    // J/K of an empty dish's air: keeps the balance solvable
	dishDensity = 900  // kg/m³ of oil and herb together, for the depth
)

func newDish(r Rig) dish {
	d := r.True.DishOutsideDiameter
	return dish{spec: r.Dish, herb: r.Herb, inside: disc(d), perimeter: math.Pi * d / 1000}
}

// oilHeat is the specific heat of a vegetable oil in J/(kg K): 1.95 kJ/(kg K)
// at 20 °C rising to 2.19 at 100 °C (linear after O. Fasina and Z. Colley, Int.
// J. Food Prop. 11 (2008) 738; numbers for olive oil from memory, ±10 %).
func oilHeat(c float64) float64 { return 1890 + 3*c }

func oilEnthalpy(c float64) float64 { return 1890*c + 1.5*c*c }

// holds returns the heat capacity of the dish's contents in J/K.
func (d *dish) holds(c float64) float64 {
	return emptyHeat + d.oil*oilHeat(c) + d.dry*herbHeat + d.moisture*liquidHeat(c)
}

func (d *dish) enthalpy(c float64) float64 {
	return emptyHeat*c + d.oil*oilEnthalpy(c) + d.dry*herbHeat*c + d.moisture*liquidEnthalpy(c)
}

func (d *dish) empty() bool { return d.oil == 0 }

// depth is how deep the oil and herb stand in the dish, in m.
func (d *dish) depth() float64 { return (d.oil + d.dry + d.moisture) / (dishDensity * d.inside) }

// inner returns the transfer between oil and base glass, W/(m² K). Cold oil is
// eight times as thick as hot oil, which halves natural convection; a herb on
// the base muffles it; bubbles of herb water stir it.
func (d *dish) inner(c float64) float64 {
	const stirred = 1.5e-5 // kg/s that stirs fully
	h := d.spec.OilSide * (0.4 + 0.4*min(1, max(0, (c-20)/60)))
	if d.herb.Sinks && d.dry > 0 {
		h *= 0.7
	}
	return h * (1 + 0.3*min(1, d.bubbling/stirred))
}

// drying returns how fast herb water leaves, in kg/s, when the oil has c °C,
// water boils at boilC under airPa and the room holds vapourPa. The drive is
// the vapour pressure of the water in the herb over that of the room; the last
// part is bound and comes slower. Above the boiling point the water boils and
// holds the oil there until it has gone.
func (d *dish) drying(c, boilC, airPa, vapourPa float64) float64 {
	const boils, thin, boundBelow = 60.0, 0.02, 0.25 // W/K; kg; share of the first water
	over := max(0, c-boilC)
	pa, _ := vapourPressure(min(c, boilC))
	free := min(1, d.moisture/(boundBelow*d.brought))
	rate := d.moisture * d.herb.Rate * max(0, pa*math.Sqrt(free)-vapourPa) / airPa
	if over == 0 {
		return rate
	}
	return rate + boils*over*min(1, d.moisture/thin)/latentHeat(boilC)
}
