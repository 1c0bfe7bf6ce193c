package wire

import (
	"context"
	"sync"
	"time"
)

// Clock is the time in which the emulated parts live.
type Clock struct {
	// Now is the time since any fixed instant. It must not call back into
	// this package, which asks it while holding its locks.
	Now func() time.Duration
	// Spend, if not nil, is told how long each transfer takes on real wires,
	// and moves Now on by as much.
	Spend func(time.Duration)
}

func (c Clock) spend(d time.Duration) {
	if c.Spend != nil {
		c.Spend(d)
	}
}

// What transfers cost, from memory of the DS2482-100 data sheet (AC
// characteristics, standard speed) and of the I²C specification.
const (
	// SlotTime is one 1-Wire time slot: 64 µs low for a zero, 5.25 µs recovery.
	SlotTime = 69250 * time.Nanosecond
	// ResetTime is a reset with presence detection: 600 µs low, 600 µs high.
	ResetTime = 1200 * time.Microsecond
	// ByteTime is one I²C byte at 400 kHz: nine clocks, and a share of start
	// and stop.
	ByteTime = 25 * time.Microsecond
)

// ManualClock is a clock that moves when it is told to. Its zero value is
// ready, at zero.
type ManualClock struct {
	mu  sync.Mutex
	now time.Duration
}

// Now returns the time that has been spent.
func (m *ManualClock) Now() time.Duration {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.now
}

// Advance moves the clock on by d.
func (m *ManualClock) Advance(d time.Duration) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.now += d
}

// Wait moves the clock on by d and returns at once, or returns the error of a
// ctx that has ended. It stands in for a driver's waiting.
func (m *ManualClock) Wait(ctx context.Context, d time.Duration) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	m.Advance(d)
	return nil
}

// Clock returns m as a Clock that charges transfers.
func (m *ManualClock) Clock() Clock { return Clock{Now: m.Now, Spend: m.Advance} }
