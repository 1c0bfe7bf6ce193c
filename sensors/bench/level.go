package bench

import "math"

// Below this much liquid the floor counts as dry: 0.1 g, a few drops.
const dropsKg = 1e-4

// level returns the height of the quiet water over the pan floor in m, with
// the displacement of the dish and the density of the water as it is.
func (p *Pan) level() float64 {
	volume := p.water / liquidDensity(min(p.temp[water], 200))
	switch p.dish.place {
	case OnFloor:
		return volume / (p.panArea - p.dish.inside)
	case OnStand:
		under := p.panArea * p.baseHeight
		if volume > under {
			return p.baseHeight + (volume-under)/(p.panArea-p.dish.inside)
		}
	}
	return volume / p.panArea
}

// surface is the area from which vapour gets away, m².
func (p *Pan) surface() float64 {
	if p.dish.place == Out {
		return p.panArea
	}
	return p.panArea - p.dish.inside
}

// wet is the share of the pan floor that water covers: a film of less than
// 0.6 mm draws back into patches.
func (p *Pan) wet() float64 {
	const film = 0.6e-3 * 1000 // kg/m²
	area := p.panArea
	if p.dish.place == OnFloor {
		area -= p.dish.inside
	}
	return min(1, p.water/(film*area))
}

// touched is the share of the dish base in the water. Waves and bubbles carry
// water to it a little above the quiet level.
func (p *Pan) touched() float64 {
	if p.dish.place != OnStand || p.water <= 0 {
		return 0
	}
	reach := 1.5e-3 * (1 + p.vigour())
	x := (p.level() - p.baseHeight + reach) / (2 * reach)
	x = min(1, max(0, x))
	return x * x * (3 - 2*x)
}

// sides splits the oil's part of the dish wall (m²) into what stands in water
// and what stands in the gas above it.
func (p *Pan) sides() (inWater, inGas float64) {
	depth := p.dish.depth()
	base := 0.0
	switch p.dish.place {
	case Out:
		return 0, p.dish.perimeter * depth
	case OnStand:
		base = p.baseHeight
	}
	under := min(depth, max(0, p.level()-base))
	return p.dish.perimeter * under, p.dish.perimeter * (depth - under)
}

// vigour is how hard it boils, 0 to 1; 1 is a rolling boil of 20 kW/m².
func (p *Pan) vigour() float64 { return min(1, p.boilHeat/(20e3*p.panArea)) }

// steam is the share of steam in the gas over the water.
func (p *Pan) steam() float64 { return 1 - math.Exp(-p.boilHeat/(p.rig.Pan.SteamFlux*p.panArea)) }
