package bridge

import (
	"context"
	"fmt"

	"periph.io/x/devices/v3/ds248x"
)

// maxSkip is how many polls go by, at most, between two tries to reach a
// bridge that is gone. A hung bus can hold up each try for a second.
const maxSkip = 8

// link is the state of the way to the bridge. periph's device object keeps its
// first I²C error for ever, so every such error means making a new object.
type link struct {
	reopened bool // in this poll
	failures int  // polls in a row that ended without the bridge
	skip     int  // polls to let go by before the next try
	last     error
}

// begin starts a poll.
func (l *link) begin() { l.reopened = false }

// lost ends a poll that did not reach the bridge. The next one may try again;
// after that more and more go by without a try.
func (l *link) lost(err error) {
	l.skip = min(maxSkip, 1<<min(l.failures, 8)) - 1
	l.failures++
	l.last = err
}

// attempt runs f with the bridge open. If the bridge fails it is opened again
// and f is run once more, once in a poll: a single disturbance costs no poll.
func (w *Wire) attempt(ctx context.Context, f func() error) error {
	for {
		if err := w.ready(ctx); err != nil {
			return err
		}
		err := f()
		if !isBridgeFault(err) {
			w.answered()
			return err
		}
		w.dev = nil
		if w.link.reopened {
			w.link.lost(err)
			return err
		}
		w.o.Logger.Warn("1-Wire bridge lost", "bus", w.o.Bus.String(), "error", err)
		w.link.reopened = true
	}
}

// answered notes that the bridge did what it was told.
func (w *Wire) answered() {
	if w.link.failures > 0 {
		w.o.Logger.Info("1-Wire bridge answers again", "bus", w.o.Bus.String(), "polls lost", w.link.failures)
	}
	w.link.failures, w.link.last = 0, nil
}

// ready opens the bridge if it is not open, unless that was tried just before.
func (w *Wire) ready(ctx context.Context) error {
	if err := ctx.Err(); err != nil {
		return interrupted{err}
	}
	if w.dev != nil {
		return nil
	}
	if w.link.skip > 0 {
		err := fmt.Errorf("%w (next try in %d polls)", w.link.last, w.link.skip)
		w.link.skip--
		return err
	}
	err := w.connect()
	if isBridgeFault(err) {
		w.link.lost(err)
	}
	return err
}

// connect makes a new periph device. A line held low makes periph refuse, as
// the status register is not what it expects after a reset; that is no fault
// of the bridge.
func (w *Wire) connect() error {
	w.supply = unknown
	dev, err := ds248x.New(w.o.Bus, w.o.Addr, w.o.Timing.chip())
	if err != nil {
		if w.heldLow() {
			return ErrShorted
		}
		return err
	}
	if err := dev.ChannelSelect(w.o.Channel); err != nil {
		return fmt.Errorf("select channel %d: %w", w.o.Channel, err)
	}
	w.dev = dev
	return nil
}

// heldLow asks a bridge that was just reset for the level of its line.
func (w *Wire) heldLow() bool {
	const justReset, level = 1 << 4, 1 << 3 // RST and LL (DS2482-100 data sheet, status register)
	var status [1]byte
	if err := w.raw.Tx([]byte{cmdSetPointer, pointStatus}, status[:]); err != nil {
		return false
	}
	return status[0]&(justReset|level) == justReset
}
