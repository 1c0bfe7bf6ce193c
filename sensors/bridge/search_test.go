package bridge_test

import (
	"context"
	"errors"
	"slices"
	"testing"

	"bainward/sensors"
	"bainward/sensors/bench/wire"
	"bainward/sensors/bridge"
)

func TestSearchFindsEveryProbeSortedBySerialNumber(t *testing.T) {
	for _, n := range []int{1, 2, 20} {
		chips, want := many(n)
		slices.Reverse(chips) // the order of plugging in does not matter
		got, err := newRig(t, chips...).wire.Probes(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%d probes: found %v, want %v", n, got, want)
		}
	}
}

func TestSearchOnAnEmptyLineFindsNothing(t *testing.T) {
	got, err := newRig(t).wire.Probes(context.Background())
	if err != nil || len(got) != 0 {
		t.Errorf("got %v, %v; want nothing", got, err)
	}
}

func TestSearchLeavesOutWhatIsNoThermometer(t *testing.T) {
	memory := sensors.NewAddress(0x2D, 7) // a DS2431 EEPROM (Linux w1_family.h)
	got, err := newRig(t, at(oil, 20), at(memory, 20)).wire.Probes(context.Background())
	if err != nil || !slices.Equal(got, []sensors.Address{oil}) {
		t.Errorf("got %v, %v; want only %v", got, err, oil)
	}
}

func TestSearchOnAShortedLineSaysSo(t *testing.T) {
	r := newRig(t, at(oil, 20))
	r.line.SetFaults(wire.LineFaults{Short: true})
	if _, err := r.wire.Probes(context.Background()); !errors.Is(err, bridge.ErrShorted) {
		t.Errorf("got %v, want %v", err, bridge.ErrShorted)
	}
}

// A chip whose own address has a bad CRC makes every search look damaged.
func TestSearchThatIsDamagedTwiceSaysSo(t *testing.T) {
	r := newRig(t, at(oil^1<<60, 20))
	if _, err := r.wire.Probes(context.Background()); !errors.Is(err, bridge.ErrDamaged) {
		t.Errorf("got %v, want %v", err, bridge.ErrDamaged)
	}
}

func TestChannelOfADS2482x800IsItsOwnLine(t *testing.T) {
	r := newBus(t)
	lines := [8]*wire.Line{}
	for i := range lines {
		lines[i] = wire.NewLine(r.clock.Clock())
	}
	lines[0].Add(at(oil, 20))
	lines[5].Add(at(bath, 30))
	r.bus.Attach(bridge.DefaultAddr, wire.NewDS2482x800(lines))
	r.open(bridge.Options{Channel: 5})
	if got, err := r.wire.Probes(context.Background()); err != nil || !slices.Equal(got, []sensors.Address{bath}) {
		t.Errorf("channel 5: got %v, %v; want %v", got, err, bath)
	}
}

func TestADS2482x100HasNoChannelFive(t *testing.T) {
	r := newBus(t, at(oil, 20))
	_, err := bridge.Open(bridge.Options{Bus: r.bus, Channel: 5, Timing: bridge.Timing{Instant: true}})
	if !errors.Is(err, bridge.ErrBridge) {
		t.Errorf("got %v, want %v", err, bridge.ErrBridge)
	}
}

func TestADS2483IsTakenToo(t *testing.T) {
	r := newBus(t, at(oil, 21.5))
	r.bus.Attach(bridge.DefaultAddr, wire.NewDS2483(r.line))
	r.open(bridge.Options{})
	if got := r.readings(oil)[0]; got != sensors.AtCelsius(21.5) {
		t.Errorf("got %v °C (%v), want 21.5", got.Celsius(), got.Fault)
	}
}
