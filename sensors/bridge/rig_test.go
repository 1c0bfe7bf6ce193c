package bridge_test

import (
	"context"
	"testing"

	"bainward/sensors"
	"bainward/sensors/bench/wire"
	"bainward/sensors/bridge"
)

// rig is the real driver on an emulated bus whose time is only spent, never
// waited for.
type rig struct {
	t     testing.TB
	clock *wire.ManualClock
	line  *wire.Line
	bus   *wire.Bus
	wire  *bridge.Wire
}

// newRig builds the bus, then opens the driver after the chips were added.
func newRig(t testing.TB, chips ...wire.ChipOptions) *rig {
	t.Helper()
	r := newBus(t, chips...)
	r.open(bridge.Options{})
	return r
}

func newBus(t testing.TB, chips ...wire.ChipOptions) *rig {
	t.Helper()
	clock := &wire.ManualClock{}
	r := &rig{t: t, clock: clock, line: wire.NewLine(clock.Clock()), bus: wire.NewBus("bench", clock.Clock())}
	r.bus.Attach(bridge.DefaultAddr, wire.NewDS2482(r.line))
	for _, c := range chips {
		r.line.Add(c)
	}
	return r
}

func (r *rig) open(o bridge.Options) {
	r.t.Helper()
	o.Bus, o.Timing.Instant = r.bus, true
	if o.Wait == nil {
		o.Wait = r.clock.Wait
	}
	w, err := bridge.Open(o)
	if err != nil {
		r.t.Fatal(err)
	}
	r.wire = w
}

// read polls and expects no error of the line as a whole.
func (r *rig) read(addresses ...sensors.Address) []sensors.Sample {
	r.t.Helper()
	samples, err := r.wire.Read(context.Background(), addresses)
	if err != nil {
		r.t.Fatal(err)
	}
	return samples
}

// readings returns what read gives, without the rest of the samples.
func (r *rig) readings(addresses ...sensors.Address) []sensors.Reading {
	r.t.Helper()
	var out []sensors.Reading
	for _, s := range r.read(addresses...) {
		out = append(out, s.Reading)
	}
	return out
}

// chip returns the emulated chip with the address.
func (r *rig) chip(a sensors.Address) *wire.Chip {
	r.t.Helper()
	c := r.line.Chip(a)
	if c == nil {
		r.t.Fatalf("no chip %v on the emulated line", a)
	}
	return c
}

// Addresses of real chips (C. Petrich, github.com/cpetrich/counterfeit_DS18B20,
// README of 2024-11-30): two genuine ones of family A1, and one of family B1.
var (
	oil   = address("28-00000bbb9b13")
	bath  = address("28-00001010d6ca")
	clone = address("28-011455613caa")
)

func address(s string) sensors.Address {
	a, err := sensors.ParseAddress(s)
	if err != nil {
		panic(err)
	}
	return a
}

// at is a chip at a fixed temperature in °C.
func at(a sensors.Address, celsius float64) wire.ChipOptions {
	return wire.ChipOptions{Address: a, Celsius: func() float64 { return celsius }}
}

// many returns n chips with addresses in the genuine pattern, each at as many
// °C as its place.
func many(n int) (chips []wire.ChipOptions, addresses []sensors.Address) {
	for i := range n {
		a := sensors.NewAddress(sensors.FamilyDS18B20, uint64(0x0B000001+i*0x3571))
		chips = append(chips, at(a, float64(i)))
		addresses = append(addresses, a)
	}
	return chips, addresses
}
