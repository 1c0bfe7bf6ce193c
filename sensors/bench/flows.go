package bench

import "math"

// Transfer coefficients of the usual size, W/(m² K): textbook ranges, none of
// them measured on a bath (from memory).
const (
	quietWater  = 700  // hot floor to water below the boil
	wallWater   = 600  // wall to water
	glassQuiet  = 500  // still water to glass
	glassBoil   = 2000 // boiling water to glass
	dryContact  = 250  // glass standing on metal
	stillAir    = 8    // surface to air, without radiation
	gapAir      = 10   // air to the dish, with radiation from the wall
	nucleate    = 50   // W/(m² K³): 6 K of superheat carry 10 kW/m², 10 K 50 kW/m²
	burnOut     = 25.0 // K of superheat above which more does not help
	floorSpread = 8    // W/K between ring and middle of a sandwich floor
	floorToWall = 3    // W/K
	glassSpread = 0.4  // W/K between base and wall of the dish
)

// radiation returns the transfer by radiation from a surface at c °C in
// W/(m² K), linear about c; the other side is taken to be colder.
func radiation(c, emissivity float64) float64 {
	const stefan = 5.670374419e-8
	k := c + zeroC
	return emissivity * stefan * k * k * k
}

// network lays out the paths of heat as they are now.
func (p *Pan) network(heat float64) *network {
	n := &network{}
	p.fillHolds(n)
	mid := p.dish.inside / p.panArea
	n.gains[floorRing], n.gains[floorMid] = heat*(1-mid), heat*mid
	n.join(floorRing, floorMid, floorSpread)
	n.join(floorRing, wall, floorToWall)
	breeze := 1 + 1.5*p.draught
	hot := (p.temp[wall] + zeroC) / 370
	n.leaks[wall] = p.rig.Pan.WallLoss * breeze * (0.5 + 0.5*hot*hot*hot)
	p.joinWater(n)
	p.joinDryFloor(n)
	p.joinDish(n, breeze)
	return n
}

func (p *Pan) fillHolds(n *network) {
	for i := range nodeCount {
		n.holds[i] = p.holds(i)
	}
}

// holds returns what a node takes up in J/K.
func (p *Pan) holds(i node) float64 {
	switch i {
	case floorRing, floorMid:
		return p.floorHeat(i)
	case wall:
		return p.rig.Pan.WallHeat
	case water:
		if p.water <= 0 {
			return 1 // nothing is joined to it
		}
		return p.water * liquidHeat(p.temp[water])
	case oil:
		return p.dish.holds(p.temp[oil])
	}
	return p.dish.spec.GlassKg * glassHeat / 2
}

func (p *Pan) floorHeat(i node) float64 {
	share := p.dish.inside / p.panArea
	if i == floorRing {
		share = 1 - share
	}
	return p.rig.Pan.FloorHeat * share
}

// joinWater joins the water to floor and wall.
func (p *Pan) joinWater(n *network) {
	if p.water <= 0 {
		return
	}
	wet := p.wet()
	n.join(floorRing, water, (p.panArea-p.dish.inside)*wet*p.boiling(p.temp[floorRing]))
	if p.dish.place != OnFloor {
		n.join(floorMid, water, p.dish.inside*wet*p.boiling(p.temp[floorMid]))
	}
	n.join(wall, water, math.Pi*p.rig.True.PanInsideDiameter/1000*p.level()*wallWater)
}

// boiling returns the transfer from the floor to the water, W/(m² K). Above the
// boiling point bubbles carry heat with the third power of the superheat.
func (p *Pan) boiling(floorC float64) float64 {
	over := min(burnOut, floorC-p.boilC)
	if over <= 0 || floorC <= p.temp[water] {
		return quietWater
	}
	return quietWater + nucleate*over*over*over/(floorC-p.temp[water])
}

// joinDryFloor lets the dry part of the floor shine and blow on what is over it.
func (p *Pan) joinDryFloor(n *network) {
	dry := 1 - p.wet()
	up := func(i node) float64 { return stillAir + radiation(p.temp[i], 0.6) }
	n.leaks[floorRing] += dry * (p.panArea - p.dish.inside) * up(floorRing)
	switch p.dish.place {
	case Out:
		n.leaks[floorMid] += dry * p.dish.inside * up(floorMid)
	case OnStand:
		// the base receives with the same surface it would have in the air
		h := stillAir + 2*radiation(p.temp[floorMid], 0.6)
		n.join(floorMid, glassBase, dry*p.dish.inside*p.halfGlass(h))
	case OnFloor:
		n.join(floorMid, glassBase, p.dish.inside*p.halfGlass(dryContact))
	}
}

// joinDish joins water, glass, oil and room.
func (p *Pan) joinDish(n *network, breeze float64) {
	d := &p.dish
	inWater, inGas := p.sides()
	if p.water > 0 {
		u := p.halfGlass(glassQuiet + (glassBoil-glassQuiet)*p.vigour())
		n.join(water, glassBase, d.inside*p.touched()*u)
		n.join(water, glassSide, inWater*u)
	}
	inner := d.inner(p.temp[oil])
	n.join(glassBase, glassSide, glassSpread)
	n.join(glassBase, oil, d.inside*p.halfGlass(inner))
	n.join(glassSide, oil, (inWater+inGas)*p.halfGlass(0.8*inner))
	cover := 1 - 0.6*p.lid
	if d.place == Out {
		cover = 1
		n.leaks[glassBase] += d.inside * p.halfGlass(gapAir)
		n.leaks[glassSide] += inGas * p.halfGlass(gapAir*breeze)
	}
	n.leaks[oil] += d.inside * d.spec.OilLoss * breeze * cover
}

// halfGlass puts half the glass in series with a surface transfer h.
func (p *Pan) halfGlass(h float64) float64 {
	return 1 / (1/h + p.dish.spec.Thickness/1000/(2*glassCarry))
}

// warmByGas lets steam and hot air warm what of the dish is not in water. The
// heat is that of steam which drips back: it comes from the water, or from the
// floor where that is dry.
func (p *Pan) warmByGas(dt float64) {
	d := &p.dish
	if d.place == Out {
		return
	}
	u := p.halfGlass(gapAir + d.spec.SteamGap*p.steam())
	_, inGas := p.sides()
	heat := p.warm(glassSide, inGas*u, dt)
	if d.place == OnStand {
		heat += p.warm(glassBase, d.inside*(1-p.touched())*u, dt)
	}
	wet := p.wet()
	if p.water > 0 {
		p.temp[water] -= heat * wet / p.holds(water)
	}
	p.temp[floorRing] -= heat * (1 - wet) / p.floorHeat(floorRing)
}

func (p *Pan) warm(i node, g, dt float64) (joule float64) {
	joule = g * (p.gasC - p.temp[i]) * dt
	p.temp[i] += joule / p.holds(i)
	return joule
}

// settleGas moves the gas towards a mix of steam and room air over water, or
// towards the floor's warmth in a dry pan.
func (p *Pan) settleGas(dt float64) {
	const settle = 15.0 // s
	wet := p.wet()
	over := (0.5 + 0.5*p.steam()) * (p.temp[water] - p.roomC) * wet
	over += 0.4 * (p.floorC() - p.roomC) * (1 - wet)
	p.gasC += (p.roomC + over - p.gasC) * (1 - math.Exp(-dt/settle))
	if p.water <= 0 {
		p.temp[water] = p.gasC
	}
}

// floorC is the mean temperature of the pan floor.
func (p *Pan) floorC() float64 {
	mid := p.dish.inside / p.panArea
	return mid*p.temp[floorMid] + (1-mid)*p.temp[floorRing]
}
