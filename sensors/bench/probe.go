package bench

import (
	"math"
	"math/rand/v2"

	"bainward/sensors"
)

// Spot is where a probe is.
type Spot uint8

// The spots of a probe.
const (
	InRoom  Spot = iota
	InOil        // stays in the oil when the dish is lifted out
	Lying        // lies on the pan floor
	Hanging      // hangs in the pan with its tip Height above the floor
)

// ProbeSpec is a DS18B20 and how it is placed.
type ProbeSpec struct {
	Place  Spot
	Height float64 // mm above the pan floor, of a hanging probe
	// Time constants of the first order, s. In stirred water DS18B20s were
	// measured at 7 to 18 s (loanagr, University of Hamburg, 2023); in oil two
	// to four times that; in still air 40 to 90 s (from memory).
	Lag    float64 // in the liquid it is meant for
	AirLag float64
	Touch  float64 // share of the floor's own temperature that one on the wet floor sees
	// The chip's error in K at 0 and at 100 °C, straight between. Within the
	// data sheet's ±0.5 °C to 85 °C and ±1 °C to 100 °C unless a test says otherwise.
	ErrorAt0, ErrorAt100 float64
	Noise                float64 // 1: the usual
}

// Probe is a DS18B20 in a bath.
type Probe struct {
	spec  ProbeSpec
	c     float64 // of the chip, °C
	noise float64
	rand  *rand.Rand
}

// NewProbe returns a probe as warm as startC, with noise of its own.
func NewProbe(s ProbeSpec, seed uint64, startC float64) *Probe {
	return &Probe{spec: s, c: startC, rand: rand.New(rand.NewPCG(seed, 0xba1))}
}

// Follow lets dt seconds pass in the bath as it is now.
func (b *Probe) Follow(p *Pan, dt float64) {
	c, rate := b.surroundings(p)
	b.c += (c - b.c) * (1 - math.Exp(-dt*rate))
}

// Shake draws the noise of the next second. It is an unsteady thing: bubbles
// pass for a second or two.
func (b *Probe) Shake(p *Pan) {
	sigma := 0.015
	switch b.spec.Place {
	case Lying, Hanging:
		sigma += 0.12 * p.vigour()
	case InOil:
		sigma += 0.03 * min(1, p.dish.bubbling/1.5e-5)
	}
	const keep = 0.6
	b.noise = keep*b.noise + math.Sqrt(1-keep*keep)*b.spec.Noise*sigma*b.rand.NormFloat64()
}

// Celsius returns what the chip measures, before it is put on the chip's grid.
func (b *Probe) Celsius() float64 {
	s := b.spec
	return b.c + b.noise + s.ErrorAt0 + (s.ErrorAt100-s.ErrorAt0)*b.c/100
}

// Reading returns what the driver would report: on the grid of 1/16 °C, or out
// of range.
func (b *Probe) Reading() sensors.Reading { return onGrid(b.Celsius()) }

// surroundings returns the temperature that the probe tends to and how fast,
// in 1/s.
func (b *Probe) surroundings(p *Pan) (c, rate float64) {
	switch b.spec.Place {
	case InOil:
		if p.dish.empty() {
			return p.roomC, 1 / b.spec.AirLag
		}
		return p.temp[oil], 1 / b.spec.Lag
	case Lying:
		return b.onFloor(p)
	case Hanging:
		const tip = 10 // mm of the probe that measure
		return b.inPan(p, (p.level()*1000-b.spec.Height)/tip)
	}
	return p.roomC, 1 / b.spec.AirLag
}

// onFloor: in water it feels the water and a little of the metal, on a dry
// floor mostly the metal. The probe is 6 mm thick and lies beside the dish.
func (b *Probe) onFloor(p *Pan) (c, rate float64) {
	const thick, dryTouch, dryLag = 6.0, 0.7, 20.0
	c, rate = b.inPan(p, p.level()*1000/thick)
	wet := p.wet()
	touch := b.spec.Touch*wet + dryTouch*(1-wet)
	rate = max(rate, (1-wet)/dryLag)
	return c + touch*(p.temp[floorRing]-c), rate
}

// inPan: partly in the water, partly in the gas over it. Steam condenses on a
// probe and warms it nearly as fast as water.
func (b *Probe) inPan(p *Pan, immersed float64) (c, rate float64) {
	in := min(1, max(0, immersed))
	if p.water <= 0 {
		in = 0
	}
	steam := p.steam()
	gasRate := steam/(1.5*b.spec.Lag) + (1-steam)/b.spec.AirLag
	c = in*(p.temp[water]+p.plume) + (1-in)*p.gasC
	return c, in/b.spec.Lag + (1-in)*gasRate
}
