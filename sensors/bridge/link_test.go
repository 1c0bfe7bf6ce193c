package bridge_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"bainward/sensors"
	"bainward/sensors/bridge"
)

func TestNoBridgeIsAnErrorThatNamesTheBusAndWhatToCheck(t *testing.T) {
	r := newBus(t)
	r.bus.Attach(bridge.DefaultAddr, nil)
	_, err := bridge.Open(bridge.Options{Bus: r.bus})
	if !errors.Is(err, bridge.ErrBridge) {
		t.Fatalf("got %v, want %v", err, bridge.ErrBridge)
	}
	for _, part := range []string{`"bench"`, "0x18", "check", "SDA"} {
		if !strings.Contains(err.Error(), part) {
			t.Errorf("error %q does not say %s", err, part)
		}
	}
}

func TestOneI2CErrorAnywhereInAPollCostsNoReading(t *testing.T) {
	r := newRig(t, at(oil, 80), at(bath, 90))
	r.readings(oil, bath)
	before := r.bus.Transactions()
	r.readings(oil, bath)
	whole := r.bus.Transactions() - before
	for at := range whole {
		got := r.failAt(at, oil, bath)
		if got[0] != sensors.AtCelsius(80) || got[1] != sensors.AtCelsius(90) {
			t.Errorf("error at transaction %d of %d: got %v", at, whole, got)
		}
	}
}

// failAt polls with one I²C transaction failing.
func (r *rig) failAt(at int, addresses ...sensors.Address) []sensors.Reading {
	r.t.Helper()
	r.bus.FailAfter(at, 1)
	return r.readings(addresses...)
}

func TestABridgeThatComesBackIsReopened(t *testing.T) {
	r := newRig(t, at(oil, 80))
	r.bus.SetFailing(true)
	for range 3 {
		samples, err := r.wire.Read(context.Background(), []sensors.Address{oil})
		if !errors.Is(err, bridge.ErrBridge) {
			t.Fatalf("got %v, want %v", err, bridge.ErrBridge)
		}
		wantFault(t, "no bridge", samples[0].Reading, sensors.Absent)
	}
	r.bus.SetFailing(false)
	r.polledUntilWell(oil, 8)
}

// polledUntilWell polls until there is a reading, at most so many times.
func (r *rig) polledUntilWell(a sensors.Address, most int) {
	r.t.Helper()
	var err error
	for range most {
		var s []sensors.Sample
		if s, err = r.wire.Read(context.Background(), []sensors.Address{a}); err == nil && s[0].Reading.OK() {
			return
		}
	}
	r.t.Errorf("no reading in %d polls: %v", most, err)
}

func TestABridgeThatIsGoneIsTriedMoreAndMoreRarely(t *testing.T) {
	r := newRig(t, at(oil, 80))
	r.bus.SetFailing(true)
	var tried []int // the polls that used the bus
	for poll := range 40 {
		before := r.bus.Transactions()
		r.wire.Read(context.Background(), []sensors.Address{oil})
		if r.bus.Transactions() > before {
			tried = append(tried, poll)
		}
	}
	want := []int{0, 1, 3, 7, 15, 23, 31, 39}
	if len(tried) != len(want) {
		t.Fatalf("tried at polls %v, want %v", tried, want)
	}
	for i := range want {
		if tried[i] != want[i] {
			t.Fatalf("tried at polls %v, want %v", tried, want)
		}
	}
}

func TestReadStopsWhenItsContextEnds(t *testing.T) {
	r := newBus(t, at(oil, 80))
	ctx, cancel := context.WithCancel(context.Background())
	r.open(bridge.Options{Wait: func(ctx context.Context, d time.Duration) error {
		cancel()
		return r.clock.Wait(ctx, d)
	}})
	samples, err := r.wire.Read(ctx, []sensors.Address{oil})
	if !errors.Is(err, context.Canceled) || errors.Is(err, bridge.ErrBridge) {
		t.Errorf("got %v, want only %v", err, context.Canceled)
	}
	wantFault(t, "interrupted", samples[0].Reading, sensors.Absent)
	r.polledUntilWell(oil, 1)
}

func TestRealWaitingEndsWithTheContext(t *testing.T) {
	r := newBus(t, at(oil, 80))
	w, err := bridge.Open(bridge.Options{Bus: r.bus}) // real time, real slots
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Millisecond)
	defer cancel()
	if _, err := w.Read(ctx, []sensors.Address{oil}); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("got %v, want %v", err, context.DeadlineExceeded)
	}
}

func TestOptionsThatCannotWorkAreRefused(t *testing.T) {
	r := newBus(t)
	for _, c := range []struct {
		o    bridge.Options
		name string
	}{
		{bridge.Options{}, "Options.Bus"},
		{bridge.Options{Bus: r.bus, Channel: 8}, "Options.Channel"},
		{bridge.Options{Bus: r.bus, Timing: bridge.Timing{GiveUp: time.Millisecond}}, "Options.Timing"},
	} {
		if _, err := bridge.Open(c.o); err == nil || !strings.Contains(err.Error(), c.name) {
			t.Errorf("got %v, want an error that names %s", err, c.name)
		}
	}
}
