package app

import (
	"math"
	"strings"
	"testing"
	"time"

	"bainward/daemon/web"
	"bainward/rules/batch/briefing"
	"bainward/sensors"
)

// A plan goes by the pressure of this moment where a barometer measures it, else
// by the site's height, and changes nothing in the record.
func TestAPlanGoesByThePressureOfTheMoment(t *testing.T) {
	k := newKitchen(t)
	k.poll(time.Second)
	p, err := k.app.Plan(t.Context(), web.PlanAsk{Bath: "north"})
	if err != nil {
		t.Fatal(err)
	}
	// At 100 kPa water boils at 99.606 °C, and 0.28 °C lower for every kPa less
	// (IAPWS-IF97); 120 m up the standard atmosphere has 99.89 kPa (ISO 2533).
	if p.Ask.Site.Pascal != 0 || math.Abs(p.BoilsC-99.576) > 0.02 {
		t.Errorf("without a barometer it goes by %g Pa and %g °C", p.Ask.Site.Pascal, p.BoilsC)
	}
	k.probes.air = sensors.Pressure{Pascal: 97000}
	k.poll(time.Second)
	before := len(k.entries())
	p, err = k.app.Plan(t.Context(), web.PlanAsk{Bath: "north", Recipe: "marigold", Change: briefing.Change{OilKg: 0.5}})
	if err != nil {
		t.Fatal(err)
	}
	// 3 kPa less than 100.
	if p.Ask.Site.Pascal != 97000 || math.Abs(p.BoilsC-98.76) > 0.02 {
		t.Errorf("with a barometer it goes by %g Pa and %g °C", p.Ask.Site.Pascal, p.BoilsC)
	}
	if p.Ask.Recipe.Name != "marigold" || p.Goods.OilKg.P50 != 0.5 {
		t.Errorf("planned %s with %g kg of oil", p.Ask.Recipe.Name, p.Goods.OilKg.P50)
	}
	if after := len(k.entries()); after != before {
		t.Errorf("a plan put %d entries into the record", after-before)
	}
}

// What a batch taught about the bath is what the next is planned by.
func TestAPlanKnowsWhatEarlierBatchesTaught(t *testing.T) {
	k := newKitchen(t)
	k.hold()
	k.did("turn-down")
	k.pollFor(10 * time.Minute)
	k.did("strain; bottle 640 ml")
	p, err := k.app.Plan(t.Context(), web.PlanAsk{Bath: "north"})
	if err != nil {
		t.Fatal(err)
	}
	if p.Ask.Site.Prior.BareKg <= 0 || p.Ask.Site.Prior != k.app.baths[0].cfg.Prior {
		t.Errorf("planned by %+v, learned %+v", p.Ask.Site.Prior, k.app.baths[0].cfg.Prior)
	}
}

// The room is as warm as its probe says, where there is one.
func TestAPlanTakesTheRoomAsItIs(t *testing.T) {
	k := newKitchen(t)
	k.poll(time.Second)
	for celsius, want := range map[float64]float64{math.NaN(): 0, 17.5: 17.5} {
		now := k.app.Snapshots()
		now[0].Celsius[sensors.Room] = celsius
		k.app.shown.Store(&now)
		p, err := k.app.Plan(t.Context(), web.PlanAsk{Bath: "north"})
		if err != nil || p.Ask.Site.RoomC != want {
			t.Errorf("the probe says %g °C and the plan goes by %g (%v), want %g", celsius, p.Ask.Site.RoomC, err, want)
		}
	}
}

// Names that the site does not know are refused.
func TestAPlanRefusesUnknownNames(t *testing.T) {
	k := newKitchen(t)
	if _, err := k.app.Plan(t.Context(), web.PlanAsk{Bath: "east"}); err == nil || !strings.Contains(err.Error(), `"east"`) {
		t.Errorf("unknown bath: %v", err)
	}
	if _, err := k.app.Plan(t.Context(), web.PlanAsk{Bath: "north", Recipe: "nettle"}); err == nil || !strings.Contains(err.Error(), "it has ribwort, marigold") {
		t.Errorf("unknown recipe: %v", err)
	}
}
