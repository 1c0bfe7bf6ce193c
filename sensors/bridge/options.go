package bridge

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"time"

	"periph.io/x/conn/v3/i2c"
	"periph.io/x/devices/v3/ds248x"
)

// DefaultAddr is a bridge's I²C address with its address pins low.
const DefaultAddr = 0x18

// Options says where the bridge is and how to wait for it.
type Options struct {
	// Bus is the I²C bus. The Wire does not close it.
	Bus i2c.Bus
	// Addr is the bridge's address on it; zero means DefaultAddr.
	Addr uint16
	// Channel chooses a line of a DS2482-800, 0 to 7. The others have only 0.
	Channel int
	// Timing is how long to wait for what; its zero value suits real wires.
	Timing Timing
	// Wait waits for d, or returns the error of a ctx that ends before. Nil
	// means real time. The waits of periph's slots are always real: see
	// Timing.Instant.
	Wait func(ctx context.Context, d time.Duration) error
	// Logger is told of faults that come and go; nil means nobody.
	Logger *slog.Logger
}

// Timing says how long a Wire waits. Each zero field stands for its default.
type Timing struct {
	// Instant leaves out the waiting for 1-Wire slots. For emulated wires only:
	// on a real DS2483 it would also write nonsense into the port registers.
	Instant bool
	// FirstPoll is when to ask for the first time whether a conversion is
	// done: 500 ms, before which no genuine probe at 12 bits is.
	FirstPoll time.Duration
	// PollEvery is the time between further questions: 10 ms.
	PollEvery time.Duration
	// GiveUp is when to ask no more and read what is there: 900 ms. The data
	// sheet's longest conversion is 750 ms.
	GiveUp time.Duration
	// Parasite is how long probes without a supply are fed: 750 ms (data sheet
	// 19-7487, tCONV at 12 bits).
	Parasite time.Duration
}

func (t Timing) withDefaults() Timing {
	for _, f := range []struct {
		field    *time.Duration
		standard time.Duration
	}{
		{&t.FirstPoll, 500 * time.Millisecond},
		{&t.PollEvery, 10 * time.Millisecond},
		{&t.GiveUp, 900 * time.Millisecond},
		{&t.Parasite, 750 * time.Millisecond},
	} {
		if *f.field == 0 {
			*f.field = f.standard
		}
	}
	return t
}

// chip returns periph's options. Its ResetLow and Write0Low decide how long it
// sleeps during a reset and a slot, and nothing else on a DS2482.
func (t Timing) chip() *ds248x.Opts {
	o := ds248x.DefaultOpts
	if t.Instant {
		o.ResetLow, o.Write0Low, o.Write0Recovery = 0, 0, 0
	}
	return &o
}

func (o Options) checked() (Options, error) {
	if o.Bus == nil {
		return o, errors.New("open 1-Wire bridge: Options.Bus is nil")
	}
	if o.Channel < 0 || o.Channel > 7 {
		return o, fmt.Errorf("open 1-Wire bridge: Options.Channel is %d, want 0 to 7", o.Channel)
	}
	o.Timing = o.Timing.withDefaults()
	if t := o.Timing; t.FirstPoll < 0 || t.PollEvery < 0 || t.Parasite < 0 || t.GiveUp < t.FirstPoll {
		return o, fmt.Errorf("open 1-Wire bridge: Options.Timing %+v: want no negative times, and GiveUp not before FirstPoll", t)
	}
	if o.Addr == 0 {
		o.Addr = DefaultAddr
	}
	if o.Wait == nil {
		o.Wait = wait
	}
	if o.Logger == nil {
		o.Logger = slog.New(slog.DiscardHandler)
	}
	return o, nil
}

// wait waits in real time.
func wait(ctx context.Context, d time.Duration) error {
	if d <= 0 {
		return ctx.Err()
	}
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-t.C:
		return nil
	}
}
