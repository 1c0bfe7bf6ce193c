package bench

import (
	"math"
	"time"
)

const defaultStep = 250 * time.Millisecond

// Pan is the simulated bath: pan, hob, water, dish, oil and herb. It starts
// empty, cold and with the dish beside it. It is not safe for concurrent use;
// Live is.
type Pan struct {
	rig        Rig
	at         time.Duration
	temp       [nodeCount]float64 // °C; of a node that is not there, the gas's
	water      float64            // kg of liquid in the pan
	panArea    float64            // m²
	baseHeight float64            // m
	hob        hob
	dish       dish
	lid        float64 // share of the pan covered, 0 to 1
	draught    float64 // m/s

	roomC, airPa float64
	vapourPa     float64 // of the water in the room's air
	roomAt0      float64 // °C, to which the drift is added
	paAt0        float64
	boilC        float64 // boiling point of the moment

	pouring float64 // kg still to come from the jug
	plume   float64 // K by which the water at the probe differs from the mean
	gasC    float64 // of the steam and air in the pan

	boilHeat float64 // W that go into bubbles which reach the surface
	boilOff  float64 // kg/s that leave for good

	spells spells
	ledger ledger
}

// NewPan returns the bath of r, or what is wrong with r.
func NewPan(r Rig) (*Pan, error) {
	if err := r.Check(); err != nil {
		return nil, err
	}
	if r.Step <= 0 {
		r.Step = defaultStep
	}
	p := &Pan{
		rig:        r,
		panArea:    disc(r.True.PanInsideDiameter),
		baseHeight: r.True.DishBaseHeight / 1000,
		hob:        hob{spec: r.Hob},
		dish:       newDish(r),
		roomC:      r.Air.RoomC, roomAt0: r.Air.RoomC,
		airPa: r.Air.Pressure, paAt0: r.Air.Pressure,
		gasC:   r.Air.RoomC,
		spells: newSpells(),
	}
	p.boilC = boilingPoint(p.airPa, 100)
	for i := range p.temp {
		p.temp[i] = p.roomC
	}
	p.ledger.start = p.stored()
	return p, nil
}

// Advance lets d pass, in steps of at most the rig's.
func (p *Pan) Advance(d time.Duration) {
	for d > 0 {
		dt := min(d, p.rig.Step)
		p.step(dt.Seconds())
		p.at += dt
		d -= dt
		p.spells.note(p)
	}
}

// step lets dt seconds pass. Each part takes heat from one place and puts it
// in another, so that the books balance whatever the order.
func (p *Pan) step(dt float64) {
	p.weather()
	p.pour(dt)
	p.spill()
	heat := p.hob.advance(p.at.Seconds(), dt, p.floorC())
	p.ledger.heat += heat * dt

	n := p.network(heat)
	p.temp = n.advance(p.temp, p.roomC, dt)
	for i, g := range n.leaks {
		p.ledger.lost += g * (p.temp[i] - p.roomC) * dt
	}
	p.warmByGas(dt)
	p.giveOff(p.boil(dt)+p.evaporate(dt), dt)
	p.dryHerb(dt)
	p.settleGas(dt)
}

// weather moves room and pressure along their slow drifts.
func (p *Pan) weather() {
	hours := p.at.Hours()
	p.roomC = p.roomAt0 + p.rig.Air.RoomDrift*hours
	full, _ := vapourPressure(p.roomC)
	p.vapourPa = p.rig.Air.Humidity * full
	if pa := p.paAt0 + p.rig.Air.PressureDrift*hours; pa != p.airPa {
		p.airPa = pa
		p.boilC = boilingPoint(pa, p.boilC)
	}
}

// pour lets water run in from the jug and mix.
func (p *Pan) pour(dt float64) {
	p.plume *= math.Exp(-dt / p.rig.Pan.MixTime)
	if p.pouring <= 0 {
		return
	}
	kg := min(p.pouring, p.rig.Pan.PourRate*dt)
	p.pouring -= kg
	tap := p.rig.Pan.TapC
	p.ledger.carried += kg * liquidEnthalpy(tap)
	p.ledger.poured += kg
	if p.water <= 0 {
		p.water, p.temp[water], p.plume = kg, tap, 0
		return
	}
	was := p.temp[water]
	p.water += kg
	p.temp[water] += kg * (liquidEnthalpy(tap) - liquidEnthalpy(was)) / (p.water * liquidHeat(was))
	p.plume += p.rig.Pan.DipGain * kg * (tap - was) / p.water
}

// spill lets what is over the rim go, poured in or swollen by heat.
func (p *Pan) spill() {
	rim := p.rig.Pan.Height / 1000
	if over := p.level() - rim; over > 0 {
		p.takeWater(over * p.surface() * liquidDensity(p.temp[water]))
	}
}

// takeWater removes liquid as it is.
func (p *Pan) takeWater(kg float64) {
	kg = min(kg, p.water)
	p.water -= kg
	p.ledger.taken += kg
	p.ledger.carried -= kg * liquidEnthalpy(p.temp[water])
}

// boil lets the water above its onset turn to steam and returns the kilograms.
// Bubbles begin to reach the surface BoilOnset below the boiling point; their
// heat grows with the third power, as nucleate boiling does (Rohsenow's
// exponent), and is 10 kW/m² at the boiling point. The equation
// C·x + dt·g·x³ = C·x₀ is solved for the step's end: stable to the last drop.
func (p *Pan) boil(dt float64) float64 {
	p.boilHeat = 0
	onset := p.boilC - p.rig.Pan.BoilOnset
	over := p.temp[water] - onset
	if p.water <= 0 || over <= 0 {
		return 0
	}
	holds := p.water * liquidHeat(p.temp[water])
	g := 10e3 * p.panArea / math.Pow(p.rig.Pan.BoilOnset, 3)
	x := min(over, math.Cbrt(holds*over/(dt*g)))
	for range 12 {
		move := (holds*(x-over) + dt*g*x*x*x) / (holds + 3*dt*g*x*x)
		x -= move
		if move < 1e-9 {
			break
		}
	}
	p.temp[water] = onset + x
	p.boilHeat = holds * (over - x) / dt
	return p.boilHeat * dt / latentHeat(p.temp[water])
}

// evaporate returns the kilograms that leave a quiet surface.
func (p *Pan) evaporate(dt float64) float64 {
	if p.water <= 0 {
		return 0
	}
	c := p.temp[water]
	open := p.surface() * p.wet() * (1 - 0.8*p.lid)
	kg := min(p.water, evaporation(c, p.vapourPa, p.draught)*open*dt)
	p.temp[water] -= kg * latentHeat(c) / (p.water * liquidHeat(c))
	return kg
}

// giveOff lets kg of vapour leave the pan, less what a lid sends back.
func (p *Pan) giveOff(kg, dt float64) {
	const lidLoss = 0.5 // W/K of a whole lid to the room
	p.boilOff = 0
	if p.water <= 0 {
		return
	}
	kg = min(kg, p.water)
	latent := latentHeat(p.temp[water])
	back := min(0.9*p.lid*kg, p.lid*lidLoss*max(0, p.gasC-p.roomC)*dt/latent)
	p.ledger.lost += back * latent
	kg -= back
	if left := p.water - kg; left < dropsKg && p.pouring <= 0 {
		p.temp[floorRing] -= left * latent / p.floorHeat(floorRing)
		kg = p.water
	}
	p.water = max(0, p.water-kg)
	p.boilOff = kg / dt
	p.ledger.vapour += kg
	p.ledger.carried -= kg * (liquidEnthalpy(p.temp[water]) + latent)
}

// dryHerb lets herb water leave through the oil.
func (p *Pan) dryHerb(dt float64) {
	d, c := &p.dish, p.temp[oil]
	d.bubbling = 0
	if d.moisture <= 0 {
		return
	}
	kg := min(d.moisture, d.drying(c, p.boilC, p.airPa, p.vapourPa)*dt)
	d.bubbling = kg / dt
	latent := latentHeat(min(c, 200))
	p.temp[oil] -= kg * latent / d.holds(c)
	p.ledger.carried -= kg * (liquidEnthalpy(c) + latent)
	p.ledger.herbVapour += kg
	d.moisture -= kg
}
