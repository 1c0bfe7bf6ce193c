package bench

import "math/rand/v2"

// Vary draws a rig: ordinary pans, dishes, hobs, herbs, rooms and probes that
// differ as those of different kitchens do, at up to 2500 m, with each stated
// size up to a tenth off the true one. The same seed gives the same rig.
func Vary(seed uint64) Rig {
	d := draw{rand.New(rand.NewPCG(seed, 0x5eed))}
	r := DefaultRig()
	r.Seed = seed
	d.geometry(&r)
	d.hob(&r)
	d.pan(&r)
	d.dish(&r)
	d.air(&r)
	d.probes(&r)
	return r
}

// draw is a source of chance with the few shapes that are needed.
type draw struct{ *rand.Rand }

func (d draw) between(lo, hi float64) float64 { return lo + (hi-lo)*d.Float64() }

func (d draw) chance(p float64) bool { return d.Float64() < p }

func (d draw) geometry(r *Rig) {
	t := &r.True
	t.PanInsideDiameter = d.between(200, 280)
	t.DishOutsideDiameter = t.PanInsideDiameter * d.between(0.68, 0.86)
	t.DishBaseHeight = d.between(20, 40)
	off := func(mm float64) float64 { return mm * d.between(0.9, 1.1) }
	s := &r.Stated
	*s = Geometry{off(t.PanInsideDiameter), off(t.DishOutsideDiameter), off(t.DishBaseHeight)}
	// A maker notices a dish that would not go into the pan.
	s.DishOutsideDiameter = min(s.DishOutsideDiameter, s.PanInsideDiameter-12, t.DishOutsideDiameter*1.1)
}

func (d draw) pan(r *Rig) {
	area := disc(r.True.PanInsideDiameter)
	p := &r.Pan
	p.Height = r.True.DishBaseHeight + d.between(70, 110)
	p.FloorHeat = area * d.between(5e3, 12e3)
	p.WallHeat = area * d.between(4e3, 8e3)
	p.WallLoss = area * d.between(8, 20)
	p.TapC = d.between(8, 22)
	if d.chance(0.25) {
		p.TapC = d.between(40, 90) // from the kettle
	}
	p.PourRate = d.between(0.03, 0.12)
	p.MixTime = d.between(3, 15)
	p.DipGain = d.between(-0.5, 1.8)
	p.BoilOnset = d.between(0.8, 3)
	p.SteamFlux = d.between(800, 4000)
	p.FillKg = d.fill(*r)
}

// fill covers the base with 5 to 30 mm of water once it is hot, or with what
// lasts at least 35 minutes where that is more: the half hour between top-ups
// is common practice, and a maker looks at the level.
func (d draw) fill(r Rig) float64 {
	const most = 0.95 // share of the heat that boils water off
	around := (disc(r.True.PanInsideDiameter) - disc(r.True.DishOutsideDiameter)) * liquidDensity(99)
	lasts := most * r.Hob.Simmer * r.Hob.Efficiency / latentHeat(99) * d.between(35, 60) * 60
	return r.True.BareKg(99) + max(around*d.between(5e-3, 30e-3), lasts)
}

func (d draw) hob(r *Rig) {
	h, area := &r.Hob, disc(r.True.PanInsideDiameter)
	switch d.IntN(4) {
	case 0: // induction
		h.Efficiency, h.Lag, h.Period = d.between(0.72, 0.9), 2, 0
	case 1: // gas
		h.Efficiency, h.Lag, h.Period = d.between(0.3, 0.5), d.between(8, 20), 0
	default: // plate with a thermostat
		h.Efficiency, h.Lag, h.Period = d.between(0.5, 0.8), d.between(30, 180), d.between(15, 90)
	}
	h.Power = d.between(800, 1600) / h.Efficiency * max(0.8, area/0.05)
	h.Simmer = min(0.9*h.Power, area*d.between(7.5e3, 15e3)/h.Efficiency)
	h.LimitC = d.between(400, 800)
}

func (d draw) dish(r *Rig) {
	base := disc(r.True.DishOutsideDiameter)
	x, h := &r.Dish, &r.Herb
	x.GlassKg = base * d.between(25, 50)
	x.Thickness = d.between(3, 6)
	x.OilKg = base * d.between(14, 28)
	x.OilSide = d.between(160, 300)
	x.OilLoss = d.between(6, 10)
	x.SteamGap = d.between(15, 120)
	h.Water, h.Rate = d.between(0.55, 0.86), d.between(1.5e-4, 4e-4)
	h.Kg = x.OilKg * d.between(0.2, 0.4)
	if d.chance(0.2) { // dried herb
		h.Water, h.Kg = d.between(0.07, 0.12), x.OilKg*d.between(0.08, 0.15)
	}
	h.Sinks = d.chance(0.3)
	h.Keeps = d.between(0.5, 2)
}

func (d draw) air(r *Rig) {
	elevation := 0.0
	if d.chance(0.7) {
		elevation = d.between(0, 2500)
	}
	r.Air = AirSpec{
		RoomC: d.between(12, 28), RoomDrift: d.between(-1, 3), Humidity: d.between(0.25, 0.8),
		Pressure:      PressureAt(elevation) * d.between(0.975, 1.025),
		PressureDrift: d.between(-100, 100),
	}
	r.Barometer = BarometerSpec{Fitted: true, Error: d.between(-100, 100)}
}

func (d draw) probes(r *Rig) {
	for _, p := range [...]*ProbeSpec{&r.OilProbe, &r.BathProbe, &r.RoomProbe} {
		p.Lag = d.between(7, 18)
		p.AirLag = d.between(40, 90)
		// at most 0.5 °C off at 85 °C and 1 °C at 100 °C (data sheet 19-7487)
		p.ErrorAt0 = d.between(-0.3, 0.3)
		p.ErrorAt100 = min(0.52, max(-0.52, p.ErrorAt0+d.between(-0.3, 0.3)))
		p.Noise = d.between(0.5, 2)
	}
	r.OilProbe.Lag *= d.between(2, 4)
	b := &r.BathProbe
	b.Touch = d.between(0.02, 0.12)
	if d.chance(0.5) {
		b.Place, b.Height = Hanging, d.between(5, 0.7*r.True.DishBaseHeight)
	}
}
