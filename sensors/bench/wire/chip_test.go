package wire_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"bainward/sensors"
	"bainward/sensors/bench/wire"
)

// wantConversion is the longest conversion of the data sheet (19-7487, AC
// characteristics).
func wantConversion(bits int) time.Duration { return 750 * time.Millisecond >> (12 - bits) }

func TestAConversionIsOverWhenTheClockSaysSo(t *testing.T) {
	bus, _, clock := newBus(at(genuine, 25.0625))
	dev := newDev(t, bus)
	convertAll(t, dev)
	clock.Advance(500 * time.Millisecond)
	if pad := scratchpad(t, dev, genuine); pad[0] != 0x50 || pad[1] != 0x05 {
		t.Errorf("after 500 ms: % X, want the value from before", pad)
	}
	clock.Advance(100 * time.Millisecond)
	// 91 01 is 25.0625 °C in the data sheet's table.
	if pad := scratchpad(t, dev, genuine); pad[0] != 0x91 || pad[1] != 0x01 {
		t.Errorf("after 600 ms: % X, want 91 01", pad)
	}
}

// Byte 6 of a genuine chip is 10h less the low nibble of byte 0; some copies
// keep 0Ch (C. Petrich, "Solution to the 85 °C problem").
func TestByteSixFollowsTheReadingUnlessFrozen(t *testing.T) {
	for _, c := range []struct {
		celsius float64
		frozen  bool
		six     byte
	}{
		{27.5, false, 0x08}, {85, false, 0x10}, {25.0625, false, 0x0F}, {100, true, 0x0C}, {85, true, 0x0C},
	} {
		chip := at(genuine, c.celsius)
		chip.SixFrozen = c.frozen
		bus, _, clock := newBus(chip)
		dev := newDev(t, bus)
		convertAll(t, dev)
		clock.Advance(wantConversion(12))
		pad := scratchpad(t, dev, genuine)
		if pad[6] != c.six {
			t.Errorf("%v °C, frozen %v: byte 6 is %#x, want %#x", c.celsius, c.frozen, pad[6], c.six)
		}
		if got, want := sensors.Judge(genuine, pad), sensors.LooksGenuine; !c.frozen && got != want {
			t.Errorf("%v °C: the chip %q, want %q", c.celsius, got, want)
		}
	}
}

func TestFlippedBitsAreAsManyAsAskedForAndEnd(t *testing.T) {
	bus, line, _ := newBus(at(genuine, 20))
	dev := newDev(t, bus)
	good := scratchpad(t, dev, genuine)
	for n := 1; n <= 72; n++ {
		line.Chips()[0].SetFaults(wire.ChipFaults{FlipBits: n, FlipReads: 1})
		bad := scratchpad(t, dev, genuine)
		flipped := 0
		for i := range bad {
			for x := bad[i] ^ good[i]; x != 0; x &= x - 1 {
				flipped++
			}
		}
		if flipped != n {
			t.Errorf("%d bits asked for, %d flipped", n, flipped)
		}
		if scratchpad(t, dev, genuine) != good {
			t.Errorf("%d bits: the second read is damaged too", n)
		}
	}
}

// The convert command alone takes a reset and two bytes: 1.2 ms and sixteen
// slots of 69.25 µs, besides the I²C bytes.
func TestTransfersAreChargedToTheClock(t *testing.T) {
	bus, _, clock := newBus(at(genuine, 20))
	dev := newDev(t, bus)
	before := clock.Now()
	convertAll(t, dev)
	onWire := wire.ResetTime + 16*wire.SlotTime
	onI2C := (2 + 2 + 2*(3+2)) * wire.ByteTime // each command and status with its address
	if got := clock.Now() - before; got != onWire+onI2C {
		t.Errorf("charged %v, want %v on the wire and %v on I²C", got, onWire, onI2C)
	}
}

func TestAManualClockDoesNotMoveForAContextThatEnded(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var clock wire.ManualClock
	if err := clock.Wait(ctx, time.Hour); !errors.Is(err, context.Canceled) || clock.Now() != 0 {
		t.Errorf("got %v at %v, want %v at 0", err, clock.Now(), context.Canceled)
	}
}

// Run with -race: faults are set while a driver reads.
func TestFaultsMayBeSetWhileTheWireIsRead(t *testing.T) {
	bus, line, _ := newBus(at(genuine, 20))
	dev := newDev(t, bus)
	done := make(chan struct{})
	go func() {
		defer close(done)
		for i := range 200 {
			line.Chips()[0].SetFaults(wire.ChipFaults{FlipBits: i % 2})
			line.SetFaults(wire.LineFaults{})
			bus.FailNext(0)
		}
	}()
	for range 200 {
		scratchpad(t, dev, genuine)
	}
	<-done
}
