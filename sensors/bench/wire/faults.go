package wire

import (
	"time"

	"bainward/sensors"
)

// ChipFaults are faults of one chip, or of its branch of the wire. They may be
// combined.
type ChipFaults struct {
	// Missing: the chip is unplugged; it hears and says nothing.
	Missing bool
	// FlipBits damages that many bits of every scratchpad on its way. One or
	// two are always found by the CRC; more may slip through.
	FlipBits int
	// FlipReads ends FlipBits after that many scratchpads; zero means never.
	FlipReads int
	// BrownOut: the supply gives way at every conversion, which leaves the
	// power-on value.
	BrownOut bool
	// ConversionFails leaves 07FFh, as too little supply current does.
	ConversionFails bool
	// Slow is how long a conversion takes instead; zero means as always.
	Slow time.Duration
	// Stuck: conversions end but the temperature stays as it was.
	Stuck bool
}

// SetFaults sets the chip's faults and clears those not given.
func (c *Chip) SetFaults(f ChipFaults) {
	c.line.mu.Lock()
	defer c.line.mu.Unlock()
	c.faults = f
}

// BrownOut takes the chip's supply away for a moment: it forgets its
// conversion and shows the power-on value until the next one is done.
func (c *Chip) BrownOut() {
	c.line.mu.Lock()
	defer c.line.mu.Unlock()
	c.powerUp()
}

// Replace puts a chip with another address in this one's place.
func (c *Chip) Replace(a sensors.Address) {
	c.line.mu.Lock()
	defer c.line.mu.Unlock()
	c.o.Address = a
	c.powerUp()
}

// Swap exchanges the places of two chips of one line: each keeps its address
// and takes the other's temperature.
func (l *Line) Swap(a, b *Chip) {
	l.mu.Lock()
	defer l.mu.Unlock()
	a.o.Celsius, b.o.Celsius = b.o.Celsius, a.o.Celsius
}

// damaged flips bits of a scratchpad, spread over its 72 bits.
func (c *Chip) damaged(pad [9]byte) [9]byte {
	if c.faults.FlipBits == 0 {
		return pad
	}
	const start, stride = 3, 11 // 11 and 72 share no factor: no bit is met twice
	for i := range min(c.faults.FlipBits, 72) {
		at := (start + i*stride) % 72
		pad[at>>3] ^= 1 << (at & 7)
	}
	if c.faults.FlipReads > 0 {
		if c.faults.FlipReads--; c.faults.FlipReads == 0 {
			c.faults.FlipBits = 0
		}
	}
	return pad
}
