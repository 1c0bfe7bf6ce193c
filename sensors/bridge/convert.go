package bridge

import (
	"context"
	"errors"
	"time"

	"periph.io/x/conn/v3/onewire"
)

// Commands to the probes (DS18B20 data sheet 19-7487).
const (
	cmdSkipROM         = 0xCC
	cmdConvert         = 0x44
	cmdReadScratchpad  = 0xBE
	cmdReadPowerSupply = 0xB4
)

// Commands to the bridge (DS2482-100 data sheet, "function commands").
const (
	cmdSetPointer = 0xE1
	cmdWireRead   = 0x96
	pointStatus   = 0xF0
	pointData     = 0xE1
	statusBusy    = 1
)

// byteTime is eight standard 1-Wire slots, and byteTries how often to look
// whether they are over before taking the bridge for hung.
const (
	byteTime  = 560 * time.Microsecond
	byteTries = 5
)

var errHung = errors.New("busy for longer than a byte takes")

// supply is how the probes on the line get their current.
type supply uint8

const (
	unknown  supply = iota
	external        // every probe has a supply of its own
	parasite        // at least one lives on the data wire
)

// convert makes every probe convert at once and waits for it. It reports
// whether all are known to be done.
func (w *Wire) convert(ctx context.Context) (done bool, err error) {
	if w.supply == unknown {
		if err := w.askSupply(); err != nil {
			return false, err
		}
	}
	all := []byte{cmdSkipROM, cmdConvert}
	if w.supply == parasite {
		// The strong pull-up must stay until they are done, so that they
		// cannot be asked.
		if err := w.dev.Tx(all, nil, onewire.StrongPullup); err != nil {
			return false, err
		}
		return true, w.wait(ctx, w.o.Timing.Parasite)
	}
	if err := w.dev.Tx(all, nil, onewire.WeakPullup); err != nil {
		return false, err
	}
	return w.awaitDone(ctx)
}

// askSupply asks all probes at once; any on parasite power pulls the line low.
func (w *Wire) askSupply() error {
	var answer [1]byte
	if err := w.dev.Tx([]byte{cmdSkipROM, cmdReadPowerSupply}, answer[:], onewire.WeakPullup); err != nil {
		return err
	}
	w.supply = external
	if answer[0] != 0xFF {
		w.supply = parasite
		for _, p := range w.probes {
			p.asked = false
		}
	}
	w.o.Logger.Debug("1-Wire probes asked for their supply", "all have their own", w.supply == external)
	return nil
}

// awaitDone asks, without a reset, until no probe holds the line low any more.
// One slow probe hides behind it whether the others are done.
func (w *Wire) awaitDone(ctx context.Context) (bool, error) {
	t := w.o.Timing
	waited := t.FirstPoll
	if err := w.wait(ctx, waited); err != nil {
		return false, err
	}
	for {
		slots, err := w.readSlots(ctx)
		if err != nil || slots == 0xFF {
			return err == nil, err
		}
		if waited >= t.GiveUp {
			w.o.Logger.Debug("a probe was still converting", "after", waited)
			return false, nil
		}
		step := min(t.PollEvery, t.GiveUp-waited)
		if err := w.wait(ctx, step); err != nil {
			return false, err
		}
		waited += step
	}
}

// readSlots makes eight read slots and returns what the line said. periph's Tx
// cannot: it begins with a reset.
func (w *Wire) readSlots(ctx context.Context) (byte, error) {
	if err := w.raw.Tx([]byte{cmdWireRead}, nil); err != nil {
		return 0, err
	}
	var answer [1]byte
	for range byteTries {
		if !w.o.Timing.Instant {
			if err := w.wait(ctx, byteTime); err != nil {
				return 0, err
			}
		}
		if err := w.raw.Tx(nil, answer[:]); err != nil {
			return 0, err
		}
		if answer[0]&statusBusy == 0 {
			err := w.raw.Tx([]byte{cmdSetPointer, pointData}, answer[:])
			return answer[0], err
		}
	}
	return 0, errHung
}

func (w *Wire) wait(ctx context.Context, d time.Duration) error {
	if err := w.o.Wait(ctx, d); err != nil {
		return interrupted{err}
	}
	return nil
}
