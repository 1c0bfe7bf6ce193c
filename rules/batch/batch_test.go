package batch_test

import (
	"math"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/balance"
	"bainward/rules/batch"
	"bainward/rules/batch/larder"
	"bainward/rules/steam"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: got %v, want %v ± %v", what, got, want, within)
	}
}

// yard is an ordinary batch of the invented Alder Yard: wilted rosemary in
// olive oil.
func yard() batch.Ask {
	return batch.Ask{
		Recipe:  rules.Recipe{Herb: "Rosmarinus officinalis, leaf", Fresh: true, HerbG: 180, Oil: "olive", OilML: 800, Hold: 2 * time.Hour},
		Rig:     rules.Rig{PanInsideDiameter: 260, DishOutsideDiameter: 205, DishBaseHeight: 30},
		Site:    batch.Site{Elevation: 120},
		Vessels: batch.Vessels{DishDepth: 65, DishKg: 1.2, PanDepth: 120, HobW: 900},
	}
}

// 500 ml measured at 80 °C are 478 ml when cold, 436 g (olive oil: Codex STAN
// 33-1981 and 0.67 kg/m³ a kelvin, from memory). A weight needs no temperature.
func TestThePlanGoesByWeight(t *testing.T) {
	a := yard()
	a.Recipe.OilML, a.Given.OilAtC = 500, 80
	p := batch.Reckon(a)
	near(t, "cold, ml", p.Goods.OilMl.P50, 478, 0.5)
	near(t, "kg", p.Goods.OilKg.P50, 0.4359, 0.002)
	if p.Findings[batch.OilMeasuredHot].Level != rules.Raised {
		t.Error("nobody says that the oil was measured hot")
	}
	a.Given.OilKg = 0.4359
	p = batch.Reckon(a)
	near(t, "weighed, ml", p.Goods.OilMl.P50, 478, 0.5)
	if p.Findings[batch.OilMeasuredHot].Level != rules.Clear {
		t.Error("the oil was weighed, and yet its temperature is held against it")
	}
}

// 300 g of fresh rosemary stand for 107.4 g of dried and bring 203 g of water
// (USDA SR Legacy 67.77 %, from memory).
func TestFreshHerbIsReckonedAsDry(t *testing.T) {
	a := yard()
	a.Recipe.HerbG = 300
	g := batch.Reckon(a).Goods
	near(t, "dry, g", 1000*g.DryKg.P50, 107.4, 0.05)
	near(t, "instead, g", 1000*g.OtherKg.P50, 107.4, 0.05)
	near(t, "water, g", 1000*g.HerbWaterKg.P50, 203.3, 0.05)
	near(t, "oil to herb", g.Ratio.P50, 0.911*0.8/0.3, 0.02)
	a.Recipe.Fresh, a.Recipe.HerbG = false, 107.4
	near(t, "fresh instead of dried, g", 1000*batch.Reckon(a).Goods.OtherKg.P50, 300, 0.1)
}

// The water of 100 g of fresh rosemary takes 160 kJ to leave (67.8 g at 2360 kJ/kg,
// 60 °C, IAPWS-IF97).
func TestHerbWaterTakesItsHeat(t *testing.T) {
	a := yard()
	a.Recipe.HerbG = 100
	water := batch.Reckon(a).Goods.HerbWaterKg.P50
	near(t, "kJ", water*steam.LatentHeat(60)/1000, 160, 0.5)
}

// A weighed sample takes the table's place; an impossible one is named.
func TestASampleReplacesTheTable(t *testing.T) {
	a := yard()
	a.Given.Sample = larder.Sample{FreshG: 50, DriedG: 25, BoneDry: true}
	p := batch.Reckon(a)
	near(t, "water", p.Goods.Water.P50, 0.5, 1e-12)
	if p.Findings[batch.SampleImpossible].Level != rules.Clear {
		t.Error("a good sample is refused")
	}
	a.Given.Sample.DriedG = 60
	p = batch.Reckon(a)
	near(t, "water", p.Goods.Water.P50, 0.6777, 1e-12)
	if p.Findings[batch.SampleImpossible].Level != rules.Raised {
		t.Error("an impossible sample is passed over in silence")
	}
}

// Up to the base the pan is a cylinder, above it a ring: 260 mm and 205 mm with
// 30 mm and 20 mm, by hand, with hot water of 960.6 kg/m³ (IAPWS-IF97, 97 °C).
func TestWaterJustCoversTheBase(t *testing.T) {
	a := yard()
	w := batch.Reckon(a).Water
	pan, ring := math.Pi/4*0.26*0.26, math.Pi/4*(0.26*0.26-0.205*0.205)
	near(t, "wets the base, kg", w.BareKg.P50, 960.6*pan*0.030, 0.001)
	near(t, "to put in, kg", w.FillKg.P50, 960.6*(pan*0.030+ring*0.020), 0.001)
	a.Given.FillKg = w.FillKg.P50
	near(t, "mm over the base", batch.Reckon(a).Water.CoverMM.P50, 20, 1e-9)
}

// Water that was weighed cold once for this bath replaces the ruler, and
// earlier batches replace both; each leaves less doubt.
func TestWeighedWaterReplacesTheRuler(t *testing.T) {
	a := yard()
	ruler := batch.Reckon(a).Water.BareKg
	a.Rig.WetsBaseG = 1500
	weighed := batch.Reckon(a).Water.BareKg
	near(t, "hot, kg", weighed.P50, 1.5*steam.Density(97)/steam.Density(15), 1e-9)
	a.Site.Prior = balance.Prior{BareKg: 1.42, BareSD: 0.02}
	taught := batch.Reckon(a).Water.BareKg
	near(t, "taught, kg", taught.P50, 1.42, 1e-12)
	if !(taught.P90-taught.P10 < weighed.P90-weighed.P10 && weighed.P90-weighed.P10 < ruler.P90-ruler.P10) {
		t.Errorf("doubts: %v, %v, %v", ruler, weighed, taught)
	}
}

// A dish that takes 120 kJ/kg from 20 to 80 °C at 2.0 kJ/(kg·K), and water, pan
// and glass: with 900 W nothing boils before the water alone would, by hand.
func TestNothingBoilsBeforeItsHeatIsIn(t *testing.T) {
	p := batch.Reckon(yard())
	alone := p.Water.FillKg.P50 * 4186 * (p.BoilsC - 15) / 900
	if p.Times.Boil.P50 < alone || p.Times.Boil.P50 > 2*alone {
		t.Errorf("boils after %v s; the water alone takes %v s", p.Times.Boil.P50, alone)
	}
	if !(p.Times.Hold.P50 > 300 && p.Times.Hold.P50 < 5400) {
		t.Errorf("the hold begins after %v s", p.Times.Hold.P50)
	}
	near(t, "end less hold, s", p.Times.End.P50-p.Times.Hold.P50, 7200, 1e-9)
}

// 500 W turn 0.798 kg of boiling water an hour into steam (2256.47 kJ/kg at
// 100 °C, IAPWS-IF97). The dish takes some 20 W of them once dried herb and
// oil are warm: 9 W/(m²·K), 0.033 m², 75 K.
func TestTopUpsFollowTheHeat(t *testing.T) {
	a := yard()
	a.Recipe.Fresh, a.Recipe.HerbG = false, 70
	a.Site.Prior = balance.Prior{SimmerW: 500, SimmerRel: 0.02}
	p := batch.Reckon(a)
	n := len(p.Times.TopUps)
	if n < 3 {
		t.Fatalf("%d top-ups in two hours", n)
	}
	apart := p.Times.TopUps[n-1].P50 - p.Times.TopUps[n-2].P50
	perHour := 0.798 * (500 - 22) / 500
	lasts := (p.Water.FillKg.P50 - p.Water.BareKg.P50) / perHour * 3600
	near(t, "s between two, with eight minutes in hand", apart, lasts-480, 0.04*lasts)
}

// More water over the base puts the first top-up off; more heat brings it on.
func TestMoreWaterLastsLonger(t *testing.T) {
	a := yard()
	first := func() float64 { return batch.Reckon(a).Times.TopUps[0].P50 }
	usual := first()
	a.Given.CoverMM = 30
	if more := first(); more <= usual {
		t.Errorf("30 mm last %v s, 20 mm %v s", more, usual)
	}
	a.Given.CoverMM = 0
	a.Site.Prior = balance.Prior{SimmerW: 900, SimmerRel: 0.1}
	if hot := first(); hot >= usual {
		t.Errorf("900 W last %v s, a usual simmer %v s", hot, usual)
	}
}

// Several macerations take longer and make a stronger oil, and less of it.
func TestAnotherMacerationIsStrongerAndLess(t *testing.T) {
	a := yard()
	once := batch.Reckon(a)
	a.Recipe.Macerations = 2
	twice := batch.Reckon(a)
	if twice.ComesOut.Strength.PerOil.P50 < 2*once.ComesOut.Strength.PerOil.P50 {
		t.Errorf("%v after one, %v after two", once.ComesOut.Strength.PerOil, twice.ComesOut.Strength.PerOil)
	}
	if twice.ComesOut.Kg.P50 >= once.ComesOut.Kg.P50 || twice.Times.All.P50 <= once.Times.All.P50+7200 {
		t.Errorf("oil %v and %v, time %v and %v", once.ComesOut.Kg, twice.ComesOut.Kg, once.Times.All, twice.Times.All)
	}
	near(t, "one maceration ends when it ends", once.Times.All.P50, once.Times.End.P50, 1e-9)
}

// The hold's heat through the dish, by hand: 110 W/(m²·K) through 0.0459 m² over
// 15 K, less 9 W/(m²·K) from 0.033 m² to the room, for two hours at 2293 kJ/kg.
func TestTheHoldDrivesOffSoMuchWater(t *testing.T) {
	p := batch.Reckon(yard())
	watts := 110*0.0459*15 - 9*0.0330*(p.FloorC-20)
	near(t, "kg", p.DrivesKg.P50, watts*7200/2.293e6, 0.003)
}
