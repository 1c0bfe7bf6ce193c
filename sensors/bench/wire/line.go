package wire

import (
	"sync"
	"time"

	"bainward/sensors"
)

// Line is a 1-Wire line with its chips. The line is low in a slot if the
// master or any chip pulls it low.
type Line struct {
	clock Clock

	mu     sync.Mutex
	chips  []*Chip
	faults LineFaults
	now    time.Duration // of the operation going on
}

// LineFaults are faults of the wire itself.
type LineFaults struct {
	// Short holds the line low: data and ground touch, or a probe is plugged
	// in the wrong way round.
	Short bool
	// Open parts the line from the bridge: nobody hears it.
	Open bool
}

// NewLine returns a line without chips.
func NewLine(clock Clock) *Line { return &Line{clock: clock} }

// Add puts a chip on the line, freshly powered on.
func (l *Line) Add(o ChipOptions) *Chip {
	l.mu.Lock()
	defer l.mu.Unlock()
	c := newChip(l, o)
	l.chips = append(l.chips, c)
	return c
}

// Chips returns the chips in the order in which they were added.
func (l *Line) Chips() []*Chip {
	l.mu.Lock()
	defer l.mu.Unlock()
	return append([]*Chip(nil), l.chips...)
}

// Chip returns the chip that has the address now, or nil.
func (l *Line) Chip(a sensors.Address) *Chip {
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, c := range l.chips {
		if c.o.Address == a {
			return c
		}
	}
	return nil
}

// SetFaults sets the faults of the line and clears those not given.
func (l *Line) SetFaults(f LineFaults) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.faults = f
}

// begin starts an operation of the given length. Chips that convert on
// parasite power lose their supply by it.
func (l *Line) begin(length time.Duration) {
	l.clock.spend(length)
	l.now = l.clock.Now()
	for _, c := range l.chips {
		c.settle(l.now)
		c.unfeed()
		if l.faults.Short {
			c.phase = idle // a long low is a reset that never ends
		}
	}
}

// end finishes an operation, leaving the line pulled up weakly or strongly.
func (l *Line) end(strong bool) {
	if !strong || l.faults.Short || l.faults.Open {
		return
	}
	for _, c := range l.chips {
		c.fed = true
	}
}

// level returns the line's idle level.
func (l *Line) level() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return !l.faults.Short
}

// reset sends a reset pulse and listens for presence pulses.
func (l *Line) reset() (present, short bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.begin(ResetTime)
	switch {
	case l.faults.Short:
		return false, true
	case l.faults.Open:
		return false, false
	}
	for _, c := range l.chips {
		if c.reset() {
			present = true
		}
	}
	return present, false
}

// slot is one time slot. Reading is writing a one and looking at the line.
func (l *Line) slot(out bool) bool {
	if l.faults.Short {
		return false
	}
	if l.faults.Open {
		return out
	}
	level := out
	for _, c := range l.chips {
		if c.phase != idle && !c.drives(l.now) {
			level = false
		}
	}
	for _, c := range l.chips {
		if c.phase != idle {
			c.senses(level, l.now)
		}
	}
	return level
}

func (l *Line) bit(out, strong bool) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.begin(SlotTime)
	in := l.slot(out)
	l.end(strong)
	return in
}

func (l *Line) writeByte(b byte, strong bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.begin(8 * SlotTime)
	for i := range 8 {
		l.slot(b>>i&1 == 1)
	}
	l.end(strong)
}

func (l *Line) readByte(strong bool) (b byte) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.begin(8 * SlotTime)
	for i := range 8 {
		if l.slot(true) {
			b |= 1 << i
		}
	}
	l.end(strong)
	return b
}

// triplet is one step of a search: read a bit and its complement, then write
// the way to go, which is prefer if chips answered for both.
func (l *Line) triplet(prefer bool) (id, complement, taken bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.begin(3 * SlotTime)
	id, complement = l.slot(true), l.slot(true)
	taken = id
	if !id && !complement {
		taken = prefer
	}
	l.slot(taken)
	return id, complement, taken
}
