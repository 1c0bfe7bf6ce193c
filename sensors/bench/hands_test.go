package bench

import (
	"testing"
	"time"
)

// simmering is the default bath half an hour after the turn-down.
func simmering(t *testing.T, change func(*Rig)) *Pan {
	t.Helper()
	r := DefaultRig()
	change(&r)
	p := newPan(t, r)
	p.Pour(1.85)
	p.Charge(0)
	p.SetHob(1500)
	p.Advance(18 * time.Minute)
	p.SetHob(750)
	p.Advance(30 * time.Minute)
	return p
}

func asItIs(*Rig) {}

func TestAProbeBesideTheJetSeesADeeperDipThatMixesAway(t *testing.T) {
	dip := func(gain float64) (atOnce, later float64) {
		p := simmering(t, func(r *Rig) { r.Pan.DipGain = gain })
		p.Pour(0.3)
		p.Advance(4 * time.Second)
		atOnce = p.plume
		p.Advance(time.Minute)
		return atOnce, p.plume
	}
	beside, mixed := dip(1.5)
	away, _ := dip(-0.5)
	if beside > -5 || away < 1 || mixed < -0.1 {
		t.Errorf("against the mean of the water: beside the jet %.1f K, away from it %.1f K, a minute later %.2f K", beside, away, mixed)
	}
}

func TestTheWeatherDriftsSlowly(t *testing.T) {
	p := simmering(t, func(r *Rig) { r.Air.PressureDrift, r.Air.RoomDrift = -100, 2 })
	hours := p.at.Hours()
	near(t, "pressure", p.Truth().PressurePa, 101325-100*hours, 0.1)
	near(t, "room", p.Truth().RoomC, 19+2*hours, 0.001)
	// 0.2765 K/kPa at sea level (IAPWS-IF97)
	near(t, "boiling point", p.Truth().BoilingC, 99.974-0.02765*hours, 0.001)
	p.SetPressure(90000)
	p.SetRoom(25)
	p.Advance(time.Hour)
	near(t, "pressure an hour after it was set", p.Truth().PressurePa, 89900, 0.1)
	near(t, "room an hour after it was set", p.Truth().RoomC, 27, 0.001)
}

// The vapour of a quarter of an hour, which draughts and lids change.
func vapour(t *testing.T, do func(*Pan)) float64 {
	t.Helper()
	p := simmering(t, asItIs)
	do(p)
	p.Advance(5 * time.Minute)
	before := p.Truth().Books.VapourKg
	p.Advance(15 * time.Minute)
	return p.Truth().Books.VapourKg - before
}

func TestALidSendsVapourBack(t *testing.T) {
	open, half, shut := vapour(t, func(*Pan) {}), vapour(t, func(p *Pan) { p.SetLid(0.5) }), vapour(t, func(p *Pan) { p.SetLid(1) })
	if !(shut < half && half < open) {
		t.Errorf("in a quarter of an hour %.3f kg leave an open pan, %.3f kg one half shut, %.3f kg a shut one", open, half, shut)
	}
}

func TestADraughtCoolsOilAndWater(t *testing.T) {
	still, windy := simmering(t, asItIs), simmering(t, asItIs)
	windy.SetDraught(1)
	still.Advance(20 * time.Minute)
	windy.Advance(20 * time.Minute)
	if s, w := still.Truth(), windy.Truth(); w.OilC > s.OilC-0.5 || w.WaterC > s.WaterC-0.1 {
		t.Errorf("still: oil %.1f, water %.1f °C; in a draught: oil %.1f, water %.1f °C", s.OilC, s.WaterC, w.OilC, w.WaterC)
	}
}

func TestAThermostatGivesItsMeanWhateverTheStep(t *testing.T) {
	for _, dt := range []float64{0.1, 0.7, 33} {
		h := hob{spec: HobSpec{Power: 1000, Efficiency: 0.5, Period: 40, LimitC: 600}, set: 300}
		var joule, most, now float64
		for now < 4000-dt/2 {
			w := h.advance(now, dt, 100)
			joule += w * dt
			most = max(most, w)
			now += dt
		}
		near(t, "mean heat, W", joule/now, 150, 2)
		if dt < 1 && most < 499 {
			t.Errorf("the plate never gave its full 500 W, at most %.0f", most)
		}
	}
}

func TestALagDelaysTheHeat(t *testing.T) {
	h := hob{spec: HobSpec{Power: 1000, Efficiency: 1, Lag: 60, LimitC: 600}, set: 1000}
	for s := range 60 {
		h.advance(float64(s), 1, 100)
	}
	near(t, "W after one time constant", h.flow, 632, 1)
	near(t, "W into a floor half-way to the limit", h.advance(60, 1, 355), 0.5*637, 3)
}

func TestWaterOverTheRimIsSpilt(t *testing.T) {
	p := simmering(t, asItIs)
	p.Pour(10)
	p.Advance(5 * time.Minute)
	if tr := p.Truth(); tr.LevelMM > 120.01 || tr.Books.TakenKg < 6 {
		t.Errorf("level %.1f mm in a pan of 120 mm, %.2f kg spilt", tr.LevelMM, tr.Books.TakenKg)
	}
}

func TestASecondHerbGoesIntoTheSameOil(t *testing.T) {
	p := simmering(t, asItIs)
	p.Strain()
	left := p.Truth().OilKg
	p.Charge(0.1)
	if tr := p.Truth(); tr.OilKg != left || tr.Dish != OnStand {
		t.Errorf("%.3f kg of oil after the recharge, %.3f kg before", tr.OilKg, left)
	}
	near(t, "water in the new herb, kg", p.Truth().HerbWaterKg, 0.07, 1e-9)
	p.EmptyDish()
	if tr := p.Truth(); tr.OilKg != 0 || tr.HerbWaterKg != 0 {
		t.Errorf("the dish is bottled and holds %.3f kg of oil", tr.OilKg)
	}
}

func TestHandsTakeNoMoreThanThereIs(t *testing.T) {
	p := simmering(t, asItIs)
	p.Ladle(5)
	if kg := p.Truth().WaterKg; kg != 0 {
		t.Errorf("%.3f kg left after all was ladled out", kg)
	}
	p.SetHob(99999)
	if p.hob.set != 1500 {
		t.Errorf("a hob of 1500 W is set to %.0f W", p.hob.set)
	}
}
