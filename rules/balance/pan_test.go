package balance_test

import (
	"math"

	"bainward/rules/balance"
)

// kettle is a pan of the plainest kind, to hold the estimate against: one mass
// of water, one heat, one boiling point, and a probe that lags. It knows nothing
// of balance's laws.
type kettle struct {
	kg, c, oil   float64
	watt         float64
	probe        float64
	noise        float64 // K, alternating
	tick         int
	evaporates   float64 // W/K² below the boil
	dishWPerK    float64
	takesBesides float64 // J/K
}

var rig = balance.Rig{PanDiameter: 0.25, DishDiameter: 0.205, BaseHeight: 0.03, OilKg: 0.73, HerbKg: 0.2, Fresh: true}

const boils = 99.97

func newKettle() *kettle {
	return &kettle{kg: 1.85, c: 15, oil: 18, probe: 15, watt: 1000, dishWPerK: 4, takesBesides: 950, evaporates: 0.018}
}

// pass lets a second pass.
func (k *kettle) pass() {
	const latent, heat = 2.257e6, 4200.0
	dish := k.dishWPerK * (k.c - k.oil)
	k.oil += (dish - 0.3*(k.oil-20)) / 2000
	away := k.evaporates * math.Max(0, k.c-25) * math.Max(0, k.c-25)
	k.c += (k.watt - dish - away) / (k.kg*heat + k.takesBesides)
	k.kg -= away / latent
	if over := k.c - boils; over > 0 {
		k.kg -= over * (k.kg*heat + k.takesBesides) / latent
		k.c = boils
	}
	k.probe += (k.c - k.probe) / 10
	k.tick++
}

// pour lets cold water in at once.
func (k *kettle) pour(kg, tap float64) {
	k.c = (k.c*(k.kg*4200+k.takesBesides) + tap*kg*4200) / ((k.kg+kg)*4200 + k.takesBesides)
	k.kg += kg
}

// loss is what boils off an hour on the plateau, kg.
func (k *kettle) loss() float64 {
	return (k.watt - k.dishWPerK*(k.c-k.oil)) / 2.257e6 * 3600
}

// watch lets seconds pass and shows every so many of them to s.
func (k *kettle) watch(s *balance.State, seconds, every int, lit bool) {
	for i := range seconds {
		k.pass()
		if (i+1)%every != 0 {
			continue
		}
		bubble := k.noise * float64(k.tick/every%2*2-1)
		s.Step(rig, k.sight(float64(every), bubble, lit))
	}
}

func (k *kettle) sight(seconds, bubble float64, lit bool) balance.Sight {
	grid := func(c float64) float64 { return math.Round(c*16) / 16 }
	return balance.Sight{
		Seconds: seconds, Bath: grid(k.probe + bubble), Oil: grid(k.oil), Room: 20,
		Boiling: boils, Pascal: 101325, Lit: lit, LeadS: 480,
	}
}

// simmering is a bath that was filled, boiled and turned down to watt, with
// everything entered.
func simmering(watt float64, every int) (*kettle, *balance.State) {
	k, s := newKettle(), &balance.State{}
	s.Poured(rig, k.kg, true)
	s.Charged(rig)
	k.watch(s, 60, every, false)
	for k.c < boils {
		k.watch(s, 30, every, true)
	}
	k.watch(s, 120, every, true)
	k.watt = watt
	s.TurnedDown(rig)
	k.watch(s, 1200, every, true)
	return k, s
}
