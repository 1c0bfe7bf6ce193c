package balance

import (
	"math"

	"bainward/rules/repeatable"
	"bainward/rules/steam"
)

// dish is the oil with its herb, seen through the oil probe: it takes heat from
// the bath in proportion to the gap between them, loses some to the room, and
// spends some on the herb's water. The water holds the oil down; as it leaves,
// the gap closes.
type dish struct {
	holds    float64 // J/K
	loses    float64 // W/K to the room
	lnGives  float64 // ln of W/K from the bath to the oil
	givesVar float64
	brought  float64 // water that the herb brought, kg; 0: not known

	oil    float64 // °C, smoothed
	slope  float64 // K/s, smoothed
	begun  bool
	excess float64 // W that neither warm the oil nor go to the room, smoothed
	peak   float64 // W
	given  float64 // herb water that has left, kg
	since  float64 // s that excess has been looked at
	low    float64 // s that it has been next to nothing
	gone   bool
}

const (
	// oilPerArea: where nobody said how much, oil stands 2.5 cm deep.
	oilPerArea = 22.0 // kg/m²
	// oilHeat: vegetable oils, 1.95 to 2.2 kJ/(kg·K) from 20 to 100 °C (Fasina
	// and Colley 2008; numbers from memory).
	oilHeat = 2100.0
	// givesPerArea: glass 4 mm thick (1.1 W/(m·K)) between boiling water and
	// 100 to 200 W/(m²·K) on the oil's side: 75 to 120 W/(m²·K).
	givesPerArea, givesSD = 110.0, 0.40
	// losesPerArea: a free surface at 90 °C loses 8 to 10 W/(m²·K) by air and
	// radiation.
	losesPerArea = 9.0
	// freshWater and dryWater: share of a herb that is water (USDA SR: rosemary
	// 68 %, thyme 65 %, mint 79 to 86 %; leaf herbs wilt before use; the
	// pharmacopoeia lets dry ones keep 10 to 12 %).
	freshWater, dryWater = 0.73, 0.10
	// leaves: share of its water that a herb gives up a second at the simmer; two
	// hours are about enough (common practice): e^(-7200/5500) leaves a quarter.
	leaves, leavesSD = 1.8e-4, 0.5
)

func (d *dish) begin(rig Rig) {
	area := disc(rig.DishDiameter)
	oil := rig.OilKg
	if oil == 0 {
		oil = float64(oilPerArea * area)
	}
	d.holds = float64(oil*oilHeat) + float64(glassPerArea*area)
	d.loses = float64(losesPerArea * area)
	wall := float64(math.Pi * rig.DishDiameter * 0.02) // m², 2 cm deep in the water
	d.lnGives = repeatable.Log(float64(givesPerArea * (area + wall)))
	d.givesVar = square(givesSD)
	d.charge(rig)
}

// charge puts the herb in.
func (d *dish) charge(rig Rig) {
	share := dryWater
	if rig.Fresh {
		share = freshWater
	}
	d.brought = float64(share * rig.HerbKg)
	if rig.OilKg > 0 {
		d.holds = float64(rig.OilKg*oilHeat) + float64(glassPerArea*disc(rig.DishDiameter)) + float64(d.brought*3000)
	}
	d.excess, d.peak, d.given, d.since, d.low, d.gone = 0, 0, 0, 0, 0, false
}

// Charged notes that herb was put into the dish.
func (s *State) Charged(rig Rig) {
	if !s.has {
		s.begin(rig)
	}
	s.dish.charge(rig)
	s.stir()
}

func (d *dish) gives() float64 { return repeatable.Exp(d.lnGives) }

// uptake is the heat that goes into the dish, W.
func (d *dish) uptake(v Sight) float64 {
	if !d.begun {
		return 0.25 * d.gives() * 40
	}
	return d.gives() * (v.Bath - d.oil)
}

// steady is the heat that goes into the dish once the oil has settled, W.
func (d *dish) steady(v Sight) float64 {
	return float64(d.loses*math.Max(0, v.Boiling-10-v.Room)) + math.Max(0, d.excess)
}

func (d *dish) follow(rig Rig, s *State, v Sight) {
	if math.IsNaN(v.Oil) {
		return
	}
	if !d.begun {
		d.oil, d.begun = v.Oil, true
		return
	}
	if v.Seconds <= 0 {
		return
	}
	was := d.oil
	d.oil += float64(math.Min(1, v.Seconds/30) * (v.Oil - d.oil))
	d.slope += float64(math.Min(1, v.Seconds/90) * ((d.oil-was)/v.Seconds - d.slope))
	gap := v.Bath - d.oil
	spent := float64(d.holds*d.slope) + float64(d.loses*math.Max(0, d.oil-v.Room))
	if d.slope > 0.02 && gap > 12 && d.oil > 45 && s.now-s.stirred > 90 {
		d.hearGives(repeatable.Log((spent+d.herbHeat(v))/gap), v.Seconds)
	}
	if v.Lit && s.boiled > 0 && math.Abs(d.slope) < 0.01 {
		d.watchHerb(float64(d.gives()*gap)-spent, v)
	}
}

// herbHeat is the heat that the herb's water may take while the oil still
// climbs, W. It leaves by vapour pressure, which doubles every 15 K or so.
func (d *dish) herbHeat(v Sight) float64 {
	const latent = 2.3e6
	return d.brought * leaves * latent * repeatable.Exp(float64((d.oil-v.Boiling+10)*0.045))
}

// hearGives learns how well the bath warms the oil while the oil climbs.
func (d *dish) hearGives(ln, seconds float64) {
	const one, least = 0.25, 0.03 // of a minute's look; what no look takes away
	v := square(one) * 60 / math.Max(1, seconds)
	gain := d.givesVar / (d.givesVar + v)
	d.lnGives += float64(gain * (ln - d.lnGives))
	d.givesVar = math.Max(least, d.givesVar*(1-gain))
}

const (
	// goneShare: the herb is called dry with a tenth of its water left. At the
	// height some three quarters are still there, and the oil is a little colder
	// than in the end: a tenth left is about a sixth of the height.
	goneShare, goneS = 0.165, 300.0
	leftShare        = 0.10
)

// watchHerb follows the heat that goes into the herb's water.
func (d *dish) watchHerb(excess float64, v Sight) {
	d.since += v.Seconds
	d.excess += float64(math.Min(1, v.Seconds/math.Min(300, math.Max(30, d.since))) * (excess - d.excess))
	d.peak = math.Max(d.peak, d.excess)
	d.given += float64(math.Max(0, d.excess) / steam.LatentHeat(v.Oil) * v.Seconds)
	if d.since < 600 {
		return
	}
	left, _ := d.left()
	if d.excess < goneShare*d.peak || left < leftShare*d.brought {
		d.low += v.Seconds
	} else {
		d.low = 0
	}
	d.gone = d.gone || d.low >= goneS
}

// left returns the herb's water and its standard deviation, kg: what it brought
// less what has left, held against how fast it still leaves.
func (d *dish) left() (kg, sd float64) {
	kg = d.excess / 2.27e6 / leaves
	v := square(float64(leavesSD*kg)) + square(4/2.27e6/leaves)
	if d.brought > 0 {
		book := d.brought - d.given
		bookVar := square(float64(0.15*d.brought)) + square(float64(0.3*d.given))
		if d.since < 60 {
			return math.Max(0, book), math.Sqrt(bookVar)
		}
		kg += float64((book - kg) * v / (v + bookVar))
		v = float64(v*bookVar) / (v + bookVar)
	}
	return math.Max(0, kg), math.Sqrt(v)
}
