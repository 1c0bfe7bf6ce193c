package fold_test

import (
	"math"
	"math/rand/v2"
	"time"

	"bainward/rules"
	"bainward/rules/trace"
	"bainward/sensors"
)

// plainBath is a second, cruder simulated bath, written without looking at the
// one in sensors/bench: one lump of water with Antoine's vapour pressure, a
// power-law atmosphere, a dish that takes heat through what is wet, oil with a
// herb that dries. Rules and estimates that hold on both rest on the physics
// and not on a simulator.
type plainBath struct {
	r                *rand.Rand
	cfg              rules.Config
	pan, dish, base  float64 // m, true
	pascal, boilingC float64
	water, waterC    float64
	oil, oilC        float64 // kg
	herb, herbWater  float64
	glassW           float64 // W/(m²·K) through wet glass
	loss, room       float64 // W/K, °C
	plume, lid       float64 // share of the evaporation law; share left by a lid
	metal            float64 // J/K
	metalC           float64
	ramp, simmer     float64 // W into the pan
	cycle            int     // s of a thermostat's period; 0: steady
	heat             float64
	lagBath, lagOil  float64
	seenBath         float64
	seenOil          float64
	offBath, offOil  float64
	barometer        bool
	tellsTurnDown    bool
	lit              int
}

func antoine(c float64) float64 {
	if c < 99 {
		return 133.322 * math.Pow(10, 8.07131-1730.63/(233.426+c))
	}
	return 133.322 * math.Pow(10, 8.14019-1810.94/(244.485+c))
}

func boilsAt(pascal float64) float64 {
	lo, hi := 50.0, 120.0
	for range 50 {
		if mid := (lo + hi) / 2; antoine(mid) < pascal {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

func circle(d float64) float64 { return math.Pi / 4 * d * d }

const plainDensity = 960 // kg/m³ of hot water

func newPlainBath(seed uint64) *plainBath {
	r := rand.New(rand.NewPCG(seed, 77))
	in := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	b := &plainBath{r: r, pan: in(.19, .32), base: in(.018, .05)}
	b.dish = b.pan * in(.65, .86)
	elevation := []float64{0, 120, 300, 900, 1500, 2500}[r.IntN(6)]
	b.pascal = 101325*math.Pow(1-2.25577e-5*elevation, 5.25588) + 700*r.NormFloat64()
	b.boilingC = boilsAt(b.pascal)
	b.oil = in(.35, 1.4)
	b.herb = b.oil * in(.05, .3)
	fresh := r.Float64() < .6
	b.herbWater = b.herb * .1
	if fresh {
		b.herbWater = b.herb * in(.6, .85)
	}
	b.loss, b.metal, b.glassW = in(.6, 1.6), in(300, 900), in(60, 140)
	b.room = in(15, 26)
	b.waterC, b.oilC, b.metalC = in(10, 25), b.room, b.room
	b.plume, b.lid = in(.6, 1.4), []float64{1, 1, .4}[r.IntN(3)]
	b.simmer = b.loss*(b.boilingC-20) + b.airOff(b.boilingC)*2.3e6 + b.glassW*circle(b.dish)*10 + in(80, 600)
	b.ramp = math.Max(in(700, 1900), b.simmer*1.2)
	b.cycle = []int{0, 0, 30, 60}[r.IntN(4)]
	b.lagBath, b.lagOil = in(7, 18), in(15, 50)
	b.seenBath, b.seenOil = b.waterC, b.oilC
	b.offBath, b.offOil = in(-.5, .5), in(-.5, .5)
	b.barometer, b.tellsTurnDown = r.Float64() < .5, r.Float64() < .7
	b.lit = 20 + r.IntN(100)
	wrong := 1.0
	if r.Float64() < .5 {
		wrong = in(.9, 1.1) // the maker measured the pan and the dish badly
	}
	b.cfg = rules.Config{
		Bath:      "north",
		Rig:       rules.Rig{PanInsideDiameter: b.pan * wrong * 1000, DishOutsideDiameter: b.dish * wrong * 1000, DishBaseHeight: b.base * 1000},
		Recipe:    rules.Recipe{Name: "plain", OilML: b.oil / .915 * 1000, HerbG: b.herb * 1000, Fresh: fresh}.Complete(),
		Elevation: elevation, Limits: rules.DefaultLimits(),
	}
	return b
}

func (b *plainBath) bare() float64 { return plainDensity * circle(b.pan) * b.base }

// airOff is what the open water loses to the air, kg/s.
func (b *plainBath) airOff(c float64) float64 {
	return b.plume * b.lid * (circle(b.pan) - circle(b.dish)) * math.Max(0, antoine(math.Min(c, b.boilingC))-1200) * 4.5e-8
}

// second moves the bath on by a second at the set power.
func (b *plainBath) second(at int, set float64, pour *float64) {
	const dt = .25
	for range 4 {
		on := 1.0
		if b.cycle > 0 {
			on = 0
			if at%b.cycle < b.cycle/2 {
				on = 2
			}
		}
		b.heat += (set*on - b.heat) * dt / 25
		if *pour > 0 {
			d := math.Min(*pour, .05*dt)
			b.waterC = (b.waterC*b.water + 15*d) / (b.water + d)
			b.water += d
			*pour -= d
		}
		b.oilStep(b.waterStep(dt), dt)
	}
	src := b.waterC
	if b.water <= 0 {
		src = b.metalC
	}
	b.seenBath += (src - b.seenBath) / b.lagBath
	b.seenOil += (b.oilC - b.seenOil) / b.lagOil
}

// waterStep returns the heat that went into the dish, W.
func (b *plainBath) waterStep(dt float64) float64 {
	k := b.glassW * circle(b.dish) * .35 // a bare base in steam
	if over := b.water - b.bare(); over >= 0 {
		wet := over / plainDensity / (circle(b.pan) - circle(b.dish)) * math.Pi * b.dish
		k = b.glassW * (circle(b.dish) + .7*wet)
	}
	into := k * (b.waterC - b.oilC)
	if b.water <= 1e-4 {
		b.water = 0
		b.metalC += (b.heat - 1.5*b.loss*(b.metalC-b.room) - into) * dt / b.metal
		b.waterC = b.metalC
		return into
	}
	off := b.airOff(b.waterC)
	net := b.heat - b.loss*(b.waterC-b.room) - into - off*2.3e6
	b.water -= off * dt
	if b.waterC >= b.boilingC && net > 0 {
		b.waterC = b.boilingC
		b.water -= net / 2.257e6 * dt
	} else {
		b.waterC = math.Min(b.boilingC, b.waterC+net*dt/(b.water*4190+b.metal))
	}
	b.water = math.Max(0, b.water)
	b.metalC = b.waterC
	return into
}

func (b *plainBath) oilStep(into, dt float64) {
	dries := math.Min(b.herbWater/dt, 2.4e-6*b.herbWater/b.herb*math.Max(0, b.oilC-45)*b.oil)
	b.herbWater -= dries * dt
	b.oilC += (into - dries*2.3e6 - (.5+14*circle(b.dish))*(b.oilC-b.room)) * dt / (b.oil*2050 + b.herbWater*4180 + 500)
}

func (b *plainBath) row(at int, events []rules.Event) trace.Row {
	noise := .05
	if b.waterC >= b.boilingC-.05 {
		noise += .1
	}
	step := func(c float64) float64 { return math.Round(c*16) / 16 }
	wall := time.Date(2026, 4, 1, 8, 0, at, 0, time.UTC)
	row := trace.Row{Wall: wall, At: time.Duration(at) * time.Second, Events: events}
	row.Probes[sensors.Oil] = sensors.AtCelsius(step(b.seenOil + b.offOil + .03*b.r.NormFloat64()))
	row.Probes[sensors.Bath] = sensors.AtCelsius(step(b.seenBath + b.offBath + noise*b.r.NormFloat64()))
	if b.seenBath > 124 {
		row.Probes[sensors.Bath] = sensors.Failed(sensors.OutOfRange)
	}
	row.Probes[sensors.Room] = sensors.Failed(sensors.NotFitted)
	row.Pressure = sensors.Pressure{Fault: sensors.NotFitted}
	if b.barometer {
		row.Pressure = sensors.Pressure{Pascal: int32(b.pascal)}
	}
	return row
}

// care is how a maker looks after a plain bath.
type care uint8

const (
	forgetful care = iota // never adds water
	careful               // tops up in good time and says so
	quiet                 // tops up in good time and says nothing
)

// plainTruth is what really is in the pan.
type plainTruth struct{ water, bare, herbWater float64 }

// play runs the bath for so many seconds under a maker's care.
func (b *plainBath) play(c care, seconds int) (rows []trace.Row, truth []plainTruth, pours []int) {
	b.water = b.bare() + .12 + .38*b.r.Float64()
	fill := math.Round(b.water*100) / 100
	set, pour, turn, next := 0.0, 0.0, -1, -1
	for at := range seconds {
		var said []rules.Event
		switch {
		case at == 0:
			said = append(said, rules.Event{Kind: rules.Fill, Quantity: kilograms(fill)}, rules.Event{Kind: rules.Charge})
		case at == b.lit:
			said, set = append(said, rules.Event{Kind: rules.Light}), b.ramp
		case turn < 0 && b.waterC >= b.boilingC-.3:
			turn = at + 20 + b.r.IntN(280)
		case at == turn:
			set, next = b.simmer, at+60
			if b.tellsTurnDown {
				said = append(said, rules.Event{Kind: rules.TurnDown})
			}
		}
		if c != forgetful && next > 0 && at >= next && b.water-b.bare() < .1 && pour == 0 {
			pour = math.Round((.2+.3*b.r.Float64())*100) / 100
			pours, next = append(pours, at), at+600
			if c == careful {
				said = append(said, rules.Event{Kind: rules.TopUp, Quantity: kilograms(pour)})
			}
		}
		b.second(at, set, &pour)
		rows = append(rows, b.row(at, said))
		truth = append(truth, plainTruth{b.water, b.bare(), b.herbWater})
	}
	return rows, truth, pours
}

func kilograms(kg float64) rules.Quantity {
	return rules.Quantity{Milli: int64(math.Round(kg * 1000)), Unit: rules.Kilogram}
}
