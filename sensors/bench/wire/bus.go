package wire

import (
	"errors"
	"fmt"
	"sync"
	"time"

	"periph.io/x/conn/v3/i2c"
	"periph.io/x/conn/v3/physic"
)

// ErrNack says that no device acknowledged an address or a byte.
var ErrNack = errors.New("not acknowledged")

// ErrBus is what a transaction gives while the bus is made to fail.
var ErrBus = errors.New("remote I/O error")

// Device is one chip on the I²C bus. Tx gets the bytes written after the
// address, then fills r. It returns ErrNack for what the chip would not take.
type Device interface {
	Tx(w, r []byte) error
}

// Bus is an emulated I²C bus. It implements periph's i2c.Bus.
type Bus struct {
	name  string
	clock Clock

	mu           sync.Mutex
	devices      map[uint16]Device
	failAfter    int // transactions that still pass
	failNext     int // transactions that fail then
	failing      bool
	transactions int
}

var _ i2c.BusCloser = (*Bus)(nil)

// NewBus returns a bus without devices.
func NewBus(name string, clock Clock) *Bus {
	return &Bus{name: name, clock: clock, devices: map[uint16]Device{}}
}

// Attach puts a device at an address, in place of any that was there; nil
// takes it away.
func (b *Bus) Attach(addr uint16, d Device) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if d == nil {
		delete(b.devices, addr)
		return
	}
	b.devices[addr] = d
}

// FailNext makes the next n transactions fail with ErrBus.
func (b *Bus) FailNext(n int) { b.FailAfter(0, n) }

// FailAfter lets some transactions pass, then makes n fail with ErrBus.
func (b *Bus) FailAfter(pass, n int) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.failAfter, b.failNext = pass, n
}

// SetFailing makes every transaction fail until it is cleared.
func (b *Bus) SetFailing(failing bool) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.failing = failing
}

// Transactions returns how many were tried, failed ones included.
func (b *Bus) Transactions() int {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.transactions
}

// Tx implements i2c.Bus.
func (b *Bus) Tx(addr uint16, w, r []byte) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.transactions++
	if b.fails() {
		return fmt.Errorf("%s: %w", b.name, ErrBus)
	}
	d := b.devices[addr]
	if d == nil {
		return fmt.Errorf("%s: address %#x: %w", b.name, addr, ErrNack)
	}
	b.charge(len(w), len(r))
	if err := d.Tx(w, r); err != nil {
		return fmt.Errorf("%s: address %#x: %w", b.name, addr, err)
	}
	return nil
}

func (b *Bus) fails() bool {
	switch {
	case b.failing:
		return true
	case b.failNext == 0:
		return false
	case b.failAfter > 0:
		b.failAfter--
		return false
	}
	b.failNext--
	return true
}

// charge counts the address byte that begins a write and the one that begins
// a read.
func (b *Bus) charge(w, r int) {
	bytes := 0
	if w > 0 {
		bytes += 1 + w
	}
	if r > 0 {
		bytes += 1 + r
	}
	b.clock.spend(time.Duration(bytes) * ByteTime)
}

// SetSpeed implements i2c.Bus; the emulated bus has one speed.
func (b *Bus) SetSpeed(physic.Frequency) error { return nil }

// Close implements i2c.BusCloser.
func (b *Bus) Close() error { return nil }

func (b *Bus) String() string { return b.name }
