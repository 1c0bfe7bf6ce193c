package main

import (
	"bytes"
	"embed"
	"fmt"
	"log/slog"
	"time"

	"periph.io/x/conn/v3/i2c"

	"bainward/daemon/app"
	"bainward/daemon/site"
	"bainward/rules"
	"bainward/sensors"
	"bainward/sensors/barometer"
	"bainward/sensors/bench"
	"bainward/sensors/bench/wire"
	"bainward/sensors/bridge"
	"bainward/sensors/w1"
)

//go:embed story
var story embed.FS

// storyteller is who enters the events of the story.
const storyteller = "Alder Yard"

// yard is the demo's site: simulated baths, emulated chips on emulated wires,
// and the real drivers that read them.
type yard struct {
	site      *site.Site
	source    sensors.Source
	barometer sensors.Barometer
	baths     []*yardBath
	kernel    *wire.Kernel
	uptime    func() time.Duration // of the story
	began     time.Time
	until     time.Duration // of the story; 0: until stopped
	over      func()
	begun     bool
	choose    func(bath, recipe string)
	enter     func(bath string, e rules.Event)
}

// yardBath is one simulated bath and its chips, by role.
type yardBath struct {
	name  string
	live  *bench.Live
	chips [sensors.RoleCount]*wire.Chip
}

// newYard lays the yard out: the north bath's probes hang on a DS248x bridge,
// the south bath's on the kernel's 1-Wire driver, whose files are below w1Dir.
func newYard(w1Dir string, speed float64) (*yard, error) {
	text, err := story.ReadFile("story/site.toml")
	if err != nil {
		return nil, err
	}
	s, err := site.Parse("story/site.toml", text)
	if err != nil {
		return nil, err
	}
	began := time.Now()
	y := &yard{site: s, began: began, uptime: func() time.Duration {
		return time.Duration(float64(time.Since(began)) * speed)
	}}
	// The wires have a clock of their own, on which conversions cost nothing of
	// the demo's time.
	ticks := new(wire.ManualClock)
	onBridge, onKernel := wire.NewLine(ticks.Clock()), wire.NewLine(ticks.Clock())
	for i, line := range []*wire.Line{onBridge, onKernel} {
		if err := y.addBath(s.Baths[i], rigs()[i], line); err != nil {
			return nil, err
		}
	}
	// The refrigerator hangs on the north bath's line. Its compressor runs a few
	// minutes of each half hour.
	for _, p := range s.Places {
		onBridge.Add(wire.ChipOptions{Address: p.Probe, Celsius: func() float64 { return fridgeC(y.uptime()) }})
	}
	y.kernel = wire.NewKernel(w1Dir, onKernel, wire.KernelOptions{})
	if err := y.kernel.Refresh(); err != nil {
		return nil, err
	}
	bus := wire.NewBus("demo", ticks.Clock())
	bus.Attach(bridge.DefaultAddr, wire.NewDS2482(onBridge))
	bus.Attach(0x76, wire.NewBMP280(y.baths[0].live.Pressure))
	return y, y.openDrivers(bus, w1Dir, ticks)
}

func (y *yard) openDrivers(bus i2c.Bus, w1Dir string, ticks *wire.ManualClock) error {
	quiet := slog.New(slog.DiscardHandler)
	onBridge, err := bridge.Open(bridge.Options{Bus: bus, Timing: bridge.Timing{Instant: true}, Wait: ticks.Wait, Logger: quiet})
	if err != nil {
		return err
	}
	onKernel, err := w1.Open(w1.Options{Root: w1Dir, Logger: quiet})
	if err != nil {
		return err
	}
	y.source = &joined{
		wires:  []namedSource{{"the demo's bridge", onBridge}, {"the demo's kernel files", onKernel}},
		routes: map[sensors.Address]int{},
	}
	y.barometer, err = barometer.Open(bus, 0x76)
	return err
}

// fridgeC is how warm the demo's refrigerator is, °C: it warms until the compressor
// starts, and cools while that runs.
func fridgeC(at time.Duration) float64 {
	const cycle, runs = 30 * time.Minute, 8 * time.Minute
	coldest, warmest := 3.5, 5.5
	in := at % cycle
	if in < runs {
		return warmest - (warmest-coldest)*float64(in)/float64(runs)
	}
	return coldest + (warmest-coldest)*float64(in-runs)/float64(cycle-runs)
}

// rigs are the two baths as they really are.
func rigs() [2]bench.Rig {
	north, south := bench.DefaultRig(), bench.DefaultRig()
	south.Seed = 2
	south.True = bench.Geometry{PanInsideDiameter: 240, DishOutsideDiameter: 190, DishBaseHeight: 35}
	south.Stated = south.True
	south.Dish.OilKg = 0.78
	south.Herb.Kg, south.Herb.Water = 0.09, 0.1
	for _, r := range []*bench.Rig{&north, &south} {
		r.Air.Pressure = bench.PressureAt(120)
	}
	return [2]bench.Rig{north, south}
}

func (y *yard) addBath(b site.Bath, rig bench.Rig, line *wire.Line) error {
	name := "story/" + b.Name + ".bath"
	text, err := story.ReadFile(name)
	if err != nil {
		return err
	}
	script, err := bench.ParseScript(name, bytes.NewReader(text))
	if err != nil {
		return err
	}
	live, err := bench.NewLive(rig, script)
	if err != nil {
		return err
	}
	yb := &yardBath{name: b.Name, live: live}
	for role, celsius := range [sensors.RoleCount]func() float64{live.Oil, live.BathProbe, live.Room} {
		if address := b.Probes[role]; address != 0 {
			yb.chips[role] = line.Add(wire.ChipOptions{Address: address, Celsius: celsius})
		}
	}
	y.baths = append(y.baths, yb)
	return nil
}

// clock is the yard's time: it runs speed times faster than the machine's.
func (y *yard) clock() app.Clock {
	return app.Clock{Uptime: y.uptime, Wall: func() time.Time { return y.began.Add(y.uptime()) }}
}

// advance lets the baths come up to now before they are read, and enters what
// the story says was done.
func (y *yard) advance(time.Duration) {
	now := y.uptime()
	if y.until > 0 && now >= y.until {
		y.over()
		return
	}
	if !y.begun {
		y.begun = true
		y.choose("south", "marigold-dried")
	}
	for _, b := range y.baths {
		for _, due := range b.live.AdvanceTo(now) {
			if due.Fault != nil {
				b.spoil(*due.Fault)
			}
			y.tell(b.name, due.Events)
		}
	}
	// A tree that cannot be written shows as silent probes, as it would be.
	_ = y.kernel.Refresh()
}

func (y *yard) tell(bath, events string) {
	said, err := rules.ParseEvents(events)
	if err != nil {
		panic(fmt.Sprintf("bainward: the story of bath %s has an event that is none: %v", bath, err))
	}
	for _, e := range said {
		y.enter(bath, e)
	}
}

// did lets the simulated hands do what a person entered on the page.
func (y *yard) did(bath string, e rules.Event, who string) {
	if who == storyteller {
		return
	}
	for _, b := range y.baths {
		if b.name == bath {
			// What cannot be done in the simulation stays an entry only.
			_ = b.live.Do(e.String())
		}
	}
}

// spoil makes a fault on the wire, or ends it.
func (b *yardBath) spoil(f bench.ProbeFault) {
	chip := b.chips[f.Role]
	if chip == nil {
		return
	}
	switch f.Fault {
	case sensors.BadCRC:
		chip.SetFaults(wire.ChipFaults{FlipBits: 2})
	case sensors.PowerOn:
		chip.SetFaults(wire.ChipFaults{BrownOut: true})
	case sensors.ConversionFailed:
		chip.SetFaults(wire.ChipFaults{ConversionFails: true})
	case sensors.NoFault, sensors.Stuck: // a stuck probe's value is held by the bath
		chip.SetFaults(wire.ChipFaults{})
	default:
		chip.SetFaults(wire.ChipFaults{Missing: true})
	}
}
