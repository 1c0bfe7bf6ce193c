package balance_test

import (
	"fmt"
	"math"
	"testing"

	"bainward/rules/balance"
)

func within(t *testing.T, what string, r balance.Range, truth float64) {
	t.Helper()
	if !(r.P10 <= truth && truth <= r.P90) || !(r.P10 <= r.P50 && r.P50 <= r.P90) {
		t.Errorf("%s: %.4g to %.4g to %.4g, in truth %.4g", what, r.P10, r.P50, r.P90, truth)
	}
}

func TestRampTellsTheHeatOfTheHob(t *testing.T) {
	for _, watt := range []float64{600, 1000, 2000} {
		k, s := newKettle(), &balance.State{}
		k.watt = watt
		s.Poured(rig, k.kg, true)
		k.watch(s, 60, 1, false)
		for k.c < 75 {
			k.watch(s, 10, 1, true)
		}
		within(t, fmt.Sprintf("hob of %g W", watt), s.Estimate().HeatW, watt)
		if r := s.Estimate().HeatW; r.P90-r.P10 > 0.4*watt {
			t.Errorf("hob of %g W is known to %.0f to %.0f only", watt, r.P10, r.P90)
		}
	}
}

func TestClimbAfterATopUpTellsTheBoilOff(t *testing.T) {
	for _, watt := range []float64{280, 420, 650} {
		k, s := simmering(watt, 1)
		before := s.Estimate().BoilOffKgH
		k.pour(0.35, 15)
		s.Poured(rig, 0.35, false)
		k.watch(s, 900, 1, true)
		after, truth := s.Estimate().BoilOffKgH, k.loss()
		if math.Abs(after.P50/truth-1) > 0.15 {
			t.Errorf("simmer of %g W: boil-off reckoned %.2f kg/h, in truth %.2f", watt, after.P50, truth)
		}
		if (after.P90-after.P10)/after.P50 > 0.7*(before.P90-before.P10)/before.P50 {
			t.Errorf("simmer of %g W: the climb taught little: %v, then %v", watt, before, after)
		}
		within(t, "water left", s.Estimate().WaterKg, k.kg)
		bare := rig.BareKg(97)
		within(t, "seconds until bare", s.Estimate().ToBareS, (k.kg-bare)/truth*3600)
	}
}

func TestPlateauSaysNothingOfTheHob(t *testing.T) {
	k, s := simmering(400, 1)
	k.pour(0.3, 15)
	s.Poured(rig, 0.3, false)
	k.watch(s, 600, 1, true)
	last := 0.0
	for range 4 {
		k.watch(s, 600, 1, true)
		r := s.Estimate().HeatW
		if width := r.P90 / r.P10; width <= last {
			t.Errorf("at the boil the heat is thought to be known better: from %.3f to %.3f", last, width)
		} else {
			last = width
		}
	}
}

func TestWaterThatNobodyEnteredIsNoticed(t *testing.T) {
	for _, every := range []int{1, 2, 5, 10, 30} {
		k, s := simmering(450, every)
		k.noise = 0.12
		k.pour(0.25, 15)
		k.watch(s, 120, every, true)
		if s.Seen.Pours != 1 || !s.Asks() {
			t.Errorf("a frame each %d s: %d pours seen", every, s.Seen.Pours)
			continue
		}
		if s.Seen.Kg < 0.12 || s.Seen.Kg > 0.5 {
			t.Errorf("a frame each %d s: 0.25 kg were taken for %.2f", every, s.Seen.Kg)
		}
		// The maker answers: what was reckoned makes way for what was said.
		s.Poured(rig, 0.25, false)
		k.watch(s, 60, every, true)
		if s.Asks() {
			t.Error("still asks for what was answered")
		}
		within(t, fmt.Sprintf("water, a frame each %d s", every), s.Estimate().WaterKg, k.kg)
	}
}

func TestNoPourIsSeenWhereNoneWas(t *testing.T) {
	for name, happens := range map[string]func(k *kettle){
		"nothing":             func(*kettle) {},
		"the hob goes out":    func(k *kettle) { k.watt = 0 },
		"the hob is turned":   func(k *kettle) { k.watt = 250 },
		"the boil is shaking": func(k *kettle) { k.noise = 0.3 },
	} {
		k, s := simmering(450, 1)
		k.noise = 0.12
		happens(k)
		k.watch(s, 1800, 1, true)
		if s.Seen.Pours != 0 {
			t.Errorf("%s: %d pours seen", name, s.Seen.Pours)
		}
	}
}

func TestChanceOfABareBaseGrowsToCertainty(t *testing.T) {
	k, s := simmering(500, 1)
	last := -1.0
	for k.kg > 0.8*rig.BareKg(97) {
		k.watch(s, 60, 1, true)
		if now := s.Estimate().BareSoon; now < last-0.01 {
			t.Fatalf("the chance fell from %.3f to %.3f", last, now)
		} else {
			last = now
		}
	}
	if last < 0.7 {
		t.Errorf("a fifth of the water under the base is gone, and the chance is %.2f", last)
	}
}

func TestOilThatSagsTeachesHowMuchWetsTheBase(t *testing.T) {
	_, s := simmering(500, 1)
	s.SawBare()
	s.TurnedDown(rig)
	if p := s.Learned(rig); !(p.BareKg > 0 && p.BareSD > 0 && p.BareSD < 0.12*p.BareKg) {
		t.Errorf("learned %+v", p)
	}
	taught := rig
	taught.Prior = balance.Prior{BareKg: 1.2, BareSD: 0.03}
	var next balance.State
	next.Poured(taught, 1.6, true)
	next.TurnedDown(taught)
	k := newKettle()
	k.c, k.probe = boils, boils
	next.Step(taught, k.sight(1, 0, true))
	plain := balance.State{}
	plain.Poured(rig, 1.6, true)
	plain.TurnedDown(rig)
	plain.Step(rig, k.sight(1, 0, true))
	if a, b := next.Estimate().ToBareS, plain.Estimate().ToBareS; a.P50 <= b.P50 || a.P10 <= b.P10 {
		t.Errorf("a base that is known to need less water goes bare no later: %v, without that %v", a, b)
	}
}

func TestNothingIsToldBeforeAnythingIsSeen(t *testing.T) {
	var s balance.State
	if e := s.Estimate(); e.WaterKg.Known() || e.ToBareS.Known() || !math.IsNaN(e.BareSoon) {
		t.Errorf("told %+v", e)
	}
}

func TestWhateverIsSeenTheEstimateStaysOrdered(t *testing.T) {
	nan := math.NaN()
	sights := []balance.Sight{
		{Seconds: 1, Bath: nan, Oil: nan, Room: nan, Boiling: 95, Pascal: 84500, Lit: true},
		{Seconds: 0, Bath: 20, Oil: 20, Room: nan, Boiling: 95, Pascal: 84500},
		{Seconds: 30, Bath: 94, Oil: nan, Room: 20, Boiling: 95, Pascal: 84500, Lit: true, LeadS: 480},
		{Seconds: 5000, Bath: 40, Oil: 95, Room: 20, Boiling: 95, Pascal: 84500, Lit: true, LeadS: 480},
		{Seconds: 1, Bath: 125, Oil: -10, Room: 60, Boiling: 95, Pascal: 84500, Lit: true, LeadS: 480},
	}
	var s balance.State
	for i := range 4000 {
		s.Step(rig, sights[(i*i/7)%len(sights)])
		if i%97 == 0 {
			s.Poured(rig, []float64{nan, 0.4, 5}[i%3], i%2 == 0)
		}
		if i%301 == 0 {
			s.TurnedDown(rig)
		}
		e := s.Estimate()
		for name, r := range map[string]balance.Range{
			"water": e.WaterKg, "boil-off": e.BoilOffKgH, "bare": e.ToBareS, "dry": e.ToDryS, "heat": e.HeatW, "dish": e.DishWPerK,
		} {
			if r.Known() && !(0 <= r.P10 && r.P10 <= r.P50 && r.P50 <= r.P90 && r.P90 < 1e6) {
				t.Fatalf("step %d: %s is %+v", i, name, r)
			}
		}
		if e.BareSoon < 0 || e.BareSoon > 1 {
			t.Fatalf("step %d: chance %g", i, e.BareSoon)
		}
	}
}

func TestStepAllocatesNothing(t *testing.T) {
	k, s := simmering(450, 1)
	v := k.sight(5, 0, true)
	if n := testing.AllocsPerRun(100, func() { s.Step(rig, v) }); n != 0 {
		t.Errorf("%g allocations a step", n)
	}
}

func BenchmarkStep(b *testing.B) {
	k, s := simmering(450, 1)
	v := k.sight(1, 0, true)
	b.ReportAllocs()
	for b.Loop() {
		c := *s
		c.Step(rig, v)
	}
}

// BenchmarkStepThatTells is the dearest step there is: everything is put into
// words anew.
func BenchmarkStepThatTells(b *testing.B) {
	k, s := simmering(450, 1)
	v := k.sight(5, 0, true)
	for b.Loop() {
		c := *s
		c.Step(rig, v)
	}
}
