package bench

import (
	"math"
	"testing"
	"time"
)

// kettle is a pan of water without a dish that loses nothing but vapour, on a
// hob that puts all of its power into it.
func kettle(step time.Duration) Rig {
	r := DefaultRig()
	r.Step = step
	r.Pan.WallLoss = 0
	r.Hob = HobSpec{Power: 3000, Efficiency: 1, LimitC: 600}
	r.Air.PressureDrift, r.Air.RoomDrift = 0, 0
	return r
}

func newPan(t testing.TB, r Rig) *Pan {
	t.Helper()
	p, err := NewPan(r)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// boilFor brings water to a steady boil at watt and returns what then leaves
// in half an hour, in kg/h.
func boilFor(t *testing.T, r Rig, watt float64) float64 {
	t.Helper()
	p := newPan(t, r)
	p.Pour(3)
	p.SetHob(3000)
	for p.Truth().WaterC < p.boilC {
		p.Advance(time.Second)
	}
	p.SetHob(watt)
	p.Advance(10 * time.Minute)
	before := p.Truth().Books.VapourKg
	p.Advance(30 * time.Minute)
	return (p.Truth().Books.VapourKg - before) * 2
}

// ṁ = P/h_fg with h_fg(100 °C) = 2256.47 kJ/kg (IAPWS-IF97). Less than some
// 400 W would not hold this open pan at the boil: it evaporates that much.
func TestBoilOffIsTheHeatOverTheLatentHeat(t *testing.T) {
	for watt, want := range map[float64]float64{500: 0.798, 1000: 1.595, 2000: 3.191} {
		got := boilFor(t, kettle(defaultStep), watt)
		near(t, "boil-off, kg/h", got, want, 0.005*want)
	}
}

func TestBoilOffDoesNotDependOnTheStep(t *testing.T) {
	for _, step := range []time.Duration{50 * time.Millisecond, 250 * time.Millisecond, time.Second} {
		near(t, "boil-off with a step of "+step.String(), boilFor(t, kettle(step), 1000), 1.595, 0.005*1.595)
	}
}

// 1 kg at the boil under 1000 W is dry after 37.6 min: the same arithmetic.
func TestAKilogramBoilsDryInTheTimeThatItsHeatTakes(t *testing.T) {
	p := newPan(t, kettle(defaultStep))
	p.Pour(1.3)
	p.SetHob(1000)
	for p.Truth().WaterKg < 1.2 {
		p.Advance(time.Second)
	}
	for p.Truth().WaterKg > 1 {
		p.Advance(time.Second)
	}
	from := p.at
	for !p.Truth().Dry {
		p.Advance(time.Second)
	}
	near(t, "minutes to dry", (p.at - from).Minutes(), 37.6, 0.01*37.6)
}

// IF97's boiling points at ISO 2533 heights.
func TestABoilSettlesAtTheBoilingPointOfTheHeight(t *testing.T) {
	for metres, want := range map[float64]float64{0: 99.974, 1500: 94.983, 2500: 91.645} {
		r := kettle(defaultStep)
		r.Air.Pressure = PressureAt(metres)
		p := newPan(t, r)
		p.Pour(1.5)
		p.SetHob(1000)
		p.Advance(25 * time.Minute)
		near(t, "boiling point", p.Truth().BoilingC, want, 0.05)
		// The mean of the water follows the flux: 20 kW/m² is a little over.
		near(t, "water", p.Truth().WaterC, want, 0.8)
	}
}

// attended is a nominal bath of about three hours on r.
func attended(t *testing.T, r Rig) Truth {
	t.Helper()
	s, err := Attend(r, Habits{TopUpEvery: 30 * time.Minute})
	if err != nil {
		t.Fatal(err)
	}
	return lastTruth(t, r, s)
}

func TestEveryGramOfWaterIsAccountedFor(t *testing.T) {
	for seed := range uint64(6) {
		r := Vary(seed)
		end := attended(t, r)
		b := end.Books
		near(t, "pan water, kg", end.WaterKg, b.PouredKg-b.VapourKg-b.TakenKg, 1e-9)
		near(t, "herb water, kg", end.HerbWaterKg, b.HerbBroughtKg-b.HerbVapourKg-b.HerbTaken, 1e-9)
		if b.VapourKg < 0.5 {
			t.Errorf("rig %d: only %.2f kg boiled off", seed, b.VapourKg)
		}
	}
}

func TestTheHeatOfThreeHoursBalances(t *testing.T) {
	for seed := range uint64(6) {
		b := attended(t, Vary(seed)).Books
		missing := b.HeatJ - b.LostJ + b.CarriedJ - b.StoredJ
		near(t, "share of the heat that is missing", missing/b.HeatJ, 0, 2e-4)
	}
}

// The balance holds through everything hands can do, and a pan boiled dry.
func TestTheHeatBalancesWhateverIsDone(t *testing.T) {
	p := newPan(t, DefaultRig())
	p.SetHob(1500)
	for _, do := range []func(){
		func() { p.Pour(1.8) }, func() { p.Charge(0) }, func() { p.SetLid(0.5) },
		func() { p.SetDraught(1) }, func() { p.Ladle(0.9) }, func() { p.PlaceDish(OnFloor) },
		func() { p.Strain() }, func() { p.Charge(0.2) }, func() { p.SetLid(0) }, func() { p.Ladle(9) },
		func() { p.Pour(0.05) }, func() { p.EmptyDish() }, func() { p.Pour(30) }, func() { p.SetHob(0) },
	} {
		do()
		p.Advance(11 * time.Minute)
		for i, c := range p.temp {
			if math.IsNaN(c) || c < 0 || c > p.rig.Hob.LimitC {
				t.Fatalf("node %d has %g °C after %s", i, c, p.at)
			}
		}
	}
	b := p.Truth().Books
	near(t, "share of the heat that is missing", (b.HeatJ-b.LostJ+b.CarriedJ-b.StoredJ)/b.HeatJ, 0, 1e-3)
	near(t, "pan water, kg", p.Truth().WaterKg, b.PouredKg-b.VapourKg-b.TakenKg, 1e-9)
}

func TestTheStepDoesNotChangeTheBath(t *testing.T) {
	s := load(t, "boil-dry-floor")
	with := func(step time.Duration) Truth {
		r := DefaultRig()
		r.Step = step
		return lastTruth(t, r, s)
	}
	fine := with(50 * time.Millisecond)
	for step, tolerance := range map[time.Duration]float64{250 * time.Millisecond: 15, time.Second: 60} {
		coarse := with(step)
		near(t, "first bare, s", coarse.FirstBare.Seconds(), fine.FirstBare.Seconds(), tolerance)
		near(t, "first dry, s", coarse.FirstDry.Seconds(), fine.FirstDry.Seconds(), tolerance)
		near(t, "oil at the end", coarse.OilC, fine.OilC, 1)
		near(t, "floor at the end", coarse.FloorC, fine.FloorC, 1)
	}
}

// The sum done by hand for the default sizes: 250 mm pan, 205 mm dish 30 mm up.
func TestTheDishLiftsTheLevel(t *testing.T) {
	p := newPan(t, DefaultRig())
	p.Pour(1.85)
	p.Advance(time.Minute)
	volume := 1.85 / liquidDensity(p.temp[water]) // m³
	near(t, "level without the dish, mm", p.Truth().LevelMM, volume/0.0490874*1000, 0.1)
	p.Charge(0)
	want := 30 + (volume-0.0490874*0.030)/(0.0490874-0.0330064)*1000
	near(t, "level with the dish, mm", p.Truth().LevelMM, want, 0.1)
}

// Common practice, no source: a dry pan on a simmering hob gains about half a
// degree to two each second at first, and goes to several hundred degrees.
func TestADryPanGetsVeryHot(t *testing.T) {
	p := newPan(t, DefaultRig())
	p.Pour(0.3)
	p.Charge(0)
	p.SetHob(1500)
	for !p.Truth().Dry {
		p.Advance(time.Second)
	}
	p.Advance(20 * time.Second)
	from := p.floorC()
	p.Advance(20 * time.Second)
	if rate := (p.floorC() - from) / 20; rate < 0.3 || rate > 2 {
		t.Errorf("the dry floor gains %.2f K/s, want 0.3 to 2", rate)
	}
	p.Advance(20 * time.Minute)
	if c := p.floorC(); c < 250 || c > 600 {
		t.Errorf("the dry floor has %.0f °C after twenty minutes, want several hundred", c)
	}
}

func TestARigThatCannotBeIsRefused(t *testing.T) {
	for name, spoil := range map[string]func(*Rig){
		"wide dish":     func(r *Rig) { r.True.DishOutsideDiameter = 249 },
		"no pan":        func(r *Rig) { r.Stated.PanInsideDiameter = 0 },
		"no air":        func(r *Rig) { r.Air.Pressure = 0 },
		"not a number":  func(r *Rig) { r.Hob.Efficiency = math.NaN() },
		"simmer > full": func(r *Rig) { r.Hob.Simmer = 2000 },
	} {
		r := DefaultRig()
		spoil(&r)
		if _, err := NewPan(r); err == nil {
			t.Errorf("%s: a pan was made of it", name)
		}
	}
}

// Two simulated hours must cost well under half a second.
func BenchmarkTwoHours(b *testing.B) {
	for b.Loop() {
		p := newPan(b, DefaultRig())
		p.Pour(1.85)
		p.Charge(0)
		p.SetHob(750)
		p.Advance(2 * time.Hour)
	}
}
