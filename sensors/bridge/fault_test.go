package bridge_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"bainward/sensors"
	"bainward/sensors/bench/wire"
	"bainward/sensors/bridge"
)

// wantFault checks one reading's fault.
func wantFault(t *testing.T, what string, got sensors.Reading, want sensors.Fault) {
	t.Helper()
	if got.Fault != want {
		t.Errorf("%s: got %v °C, %q; want %q", what, got.Celsius(), got.Fault, want)
	}
}

func TestAMissingProbeIsAbsentAndTheOtherIsRead(t *testing.T) {
	r := newRig(t, at(oil, 80), at(bath, 90))
	r.chip(oil).SetFaults(wire.ChipFaults{Missing: true})
	got := r.readings(oil, bath)
	wantFault(t, "missing", got[0], sensors.Absent)
	wantFault(t, "other", got[1], sensors.NoFault)
	r.chip(oil).SetFaults(wire.ChipFaults{})
	wantFault(t, "plugged in again", r.readings(oil)[0], sensors.NoFault)
}

func TestAnEmptyLineMakesAllAbsentAndSaysWhatToCheck(t *testing.T) {
	r := newRig(t, at(oil, 80), at(bath, 90))
	r.line.SetFaults(wire.LineFaults{Open: true})
	samples, err := r.wire.Read(context.Background(), []sensors.Address{oil, bath})
	if !errors.Is(err, bridge.ErrNobody) {
		t.Errorf("got error %v, want %v", err, bridge.ErrNobody)
	}
	for _, s := range samples {
		wantFault(t, s.Address.String(), s.Reading, sensors.Absent)
	}
	r.line.SetFaults(wire.LineFaults{})
	wantFault(t, "mended", r.readings(oil)[0], sensors.NoFault)
}

func TestAShortMakesAllZeroUntilItIsMended(t *testing.T) {
	r := newRig(t, at(oil, 80), at(bath, 90))
	r.line.SetFaults(wire.LineFaults{Short: true})
	samples, err := r.wire.Read(context.Background(), []sensors.Address{oil, bath})
	if !errors.Is(err, bridge.ErrShorted) {
		t.Errorf("got error %v, want %v", err, bridge.ErrShorted)
	}
	for _, s := range samples {
		wantFault(t, s.Address.String(), s.Reading, sensors.AllZero)
	}
	r.line.SetFaults(wire.LineFaults{})
	wantFault(t, "mended", r.readings(oil)[0], sensors.NoFault)
}

// periph takes a bridge over a shorted line for a broken one, because the
// status register shows the line's level after a reset.
func TestALineShortedFromTheStartIsNotABrokenBridge(t *testing.T) {
	r := newBus(t, at(oil, 80))
	r.line.SetFaults(wire.LineFaults{Short: true})
	r.open(bridge.Options{})
	samples, err := r.wire.Read(context.Background(), []sensors.Address{oil})
	if !errors.Is(err, bridge.ErrShorted) {
		t.Errorf("got error %v, want %v", err, bridge.ErrShorted)
	}
	wantFault(t, "shorted", samples[0].Reading, sensors.AllZero)
	r.line.SetFaults(wire.LineFaults{})
	wantFault(t, "mended", r.readings(oil)[0], sensors.NoFault)
}

// The line goes while the probes convert.
func TestALineThatGoesDuringTheConversionIsTold(t *testing.T) {
	for _, c := range []struct {
		fault wire.LineFaults
		want  sensors.Fault
	}{
		{wire.LineFaults{Open: true}, sensors.Absent},
		{wire.LineFaults{Short: true}, sensors.AllZero},
	} {
		r := newBus(t, at(oil, 80))
		r.open(bridge.Options{Wait: func(ctx context.Context, d time.Duration) error {
			r.line.SetFaults(c.fault)
			return r.clock.Wait(ctx, d)
		}})
		wantFault(t, "gone", r.readings(oil)[0], c.want)
	}
}

func TestAScratchpadDamagedOnceIsReadAgain(t *testing.T) {
	r := newRig(t, at(oil, 80))
	r.chip(oil).SetFaults(wire.ChipFaults{FlipBits: 1, FlipReads: 1})
	if got := r.readings(oil)[0]; got != sensors.AtCelsius(80) {
		t.Errorf("got %v °C (%v), want 80", got.Celsius(), got.Fault)
	}
	if n := r.chip(oil).Conversions(); n != 1 {
		t.Errorf("%d conversions, want 1", n)
	}
}

func TestAScratchpadDamagedTwiceIsABadCRC(t *testing.T) {
	for _, bits := range []int{1, 2} {
		r := newRig(t, at(oil, 80), at(bath, 90))
		r.chip(oil).SetFaults(wire.ChipFaults{FlipBits: bits})
		got := r.readings(oil, bath)
		wantFault(t, "damaged", got[0], sensors.BadCRC)
		wantFault(t, "other", got[1], sensors.NoFault)
	}
}

func TestABrownOutShowsThePowerOnValueUntilTheNextConversion(t *testing.T) {
	r := newBus(t, at(oil, 80))
	brown := false
	r.open(bridge.Options{Wait: func(ctx context.Context, d time.Duration) error {
		if brown {
			r.chip(oil).BrownOut()
		}
		return r.clock.Wait(ctx, d)
	}})
	wantFault(t, "before", r.readings(oil)[0], sensors.NoFault)
	brown = true
	s := r.read(oil)[0]
	wantFault(t, "brown-out", s.Reading, sensors.PowerOn)
	// The power-on scratchpad of a genuine chip, as published (C. Petrich).
	if want := [9]byte{0x50, 0x05, 0x4B, 0x46, 0x7F, 0xFF, 0x0C, 0x10, 0x1C}; s.Scratchpad != want {
		t.Errorf("scratchpad % X, want % X", s.Scratchpad, want)
	}
	brown = false
	wantFault(t, "after", r.readings(oil)[0], sensors.NoFault)
}

func TestASupplyThatGivesWayAtEveryConversionNeverPassesAs85(t *testing.T) {
	r := newRig(t, at(oil, 80))
	r.readings(oil)
	r.chip(oil).SetFaults(wire.ChipFaults{BrownOut: true})
	for range 3 {
		wantFault(t, "brown-out", r.readings(oil)[0], sensors.PowerOn)
	}
}

func TestAFailedConversionIsTold(t *testing.T) {
	r := newRig(t, at(oil, 80))
	r.chip(oil).SetFaults(wire.ChipFaults{ConversionFails: true})
	s := r.read(oil)[0]
	wantFault(t, "07FF", s.Reading, sensors.ConversionFailed)
	if s.Scratchpad[8] != 0xA6 { // FF 07 4B 46 7F FF 0C 10, CRC as computed with App Note 27's rule
		t.Errorf("scratchpad % X, want its CRC to be A6", s.Scratchpad)
	}
}

func TestImpossibleTemperaturesAreOutOfRange(t *testing.T) {
	for _, c := range []float64{125.0625, -55.0625} {
		wantFault(t, "too far", newRig(t, at(oil, c)).readings(oil)[0], sensors.OutOfRange)
	}
}

func TestAProbeStillConvertingIsStaleAndAnAwakeOneIsNot(t *testing.T) {
	celsius := 90.0
	r := newRig(t, at(oil, 80), wire.ChipOptions{Address: bath, Celsius: func() float64 { return celsius }})
	r.readings(oil, bath)
	r.chip(oil).SetFaults(wire.ChipFaults{Slow: 1400 * time.Millisecond})
	celsius = 91
	before := r.clock.Now()
	got := r.readings(oil, bath)
	wantFault(t, "slow", got[0], sensors.Stale)
	if got[1] != sensors.AtCelsius(91) {
		t.Errorf("the other: got %v °C (%v), want 91", got[1].Celsius(), got[1].Fault)
	}
	if took := r.clock.Now() - before; took < 900*time.Millisecond || took > time.Second {
		t.Errorf("the poll took %v, want it to give up at 900 ms", took)
	}
	// The same value as before is no proof that a probe is done.
	wantFault(t, "unmoved", r.readings(oil, bath)[1], sensors.Stale)
	r.chip(oil).SetFaults(wire.ChipFaults{})
	wantFault(t, "quick again", r.readings(oil)[0], sensors.NoFault)
}

func TestAProbeNeverSeenToConvertIsStale(t *testing.T) {
	r := newRig(t, at(oil, 80))
	r.wire.Read(context.Background(), nil) // converts, so that the chip holds 80 °C
	r.chip(oil).SetFaults(wire.ChipFaults{Slow: 2 * time.Second})
	wantFault(t, "first reading", r.readings(oil)[0], sensors.Stale)
}

func TestAStuckProbeKeepsItsValue(t *testing.T) {
	celsius := 80.0
	r := newRig(t, wire.ChipOptions{Address: oil, Celsius: func() float64 { return celsius }})
	r.readings(oil)
	r.chip(oil).SetFaults(wire.ChipFaults{Stuck: true})
	celsius = 95
	if got := r.readings(oil)[0]; got != sensors.AtCelsius(80) {
		t.Errorf("got %v °C (%v), want the old 80: the rules find it stuck", got.Celsius(), got.Fault)
	}
}

func TestSwappedProbesAreReadByAddressNotByPlace(t *testing.T) {
	r := newRig(t, at(oil, 85), at(bath, 99))
	r.readings(oil, bath)
	r.line.Swap(r.chip(oil), r.chip(bath))
	got := r.readings(oil, bath)
	if got[0] != sensors.AtCelsius(99) || got[1] != sensors.AtCelsius(85) {
		t.Errorf("got oil %v °C and bath %v °C, want 99 and 85", got[0].Celsius(), got[1].Celsius())
	}
}

func TestAReplacedProbeIsAbsentAndTheNewOneIsFound(t *testing.T) {
	r := newRig(t, at(oil, 80))
	r.readings(oil)
	r.chip(oil).Replace(bath)
	got := r.readings(oil, bath)
	wantFault(t, "old address", got[0], sensors.Absent)
	wantFault(t, "new address", got[1], sensors.NoFault)
	if found, err := r.wire.Probes(context.Background()); err != nil || len(found) != 1 || found[0] != bath {
		t.Errorf("search found %v, %v; want %v", found, err, bath)
	}
}
