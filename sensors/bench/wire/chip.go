package wire

import (
	"math"
	"time"

	"bainward/sensors"
)

// ChipOptions says what a DS18B20 is and where it hangs.
type ChipOptions struct {
	Address sensors.Address
	// Celsius is the temperature at the chip, in °C. It is called with the
	// line locked and must not call back into this package.
	Celsius func() float64
	// Conversion is how long a 12-bit conversion takes; lower resolutions
	// halve it. Zero means 600 ms: genuine chips were measured at 580…615 ms
	// (C. Petrich, github.com/cpetrich/counterfeit_DS18B20, 2024).
	Conversion time.Duration
	// Parasite chips have no supply of their own.
	Parasite bool
	// SixFrozen chips keep 0Ch in byte 6, as copies of families B1, B2, C and
	// F do (C. Petrich, as above).
	SixFrozen bool
	// PowerOn is bytes 0 to 7 of the scratchpad after power-up. Zero means the
	// genuine chip's 50 05 4B 46 7F FF 0C 10.
	PowerOn [8]byte
}

// Bytes of the scratchpad (data sheet 19-7487, memory map).
const (
	byteTempLow  = 0
	byteTempHigh = 1
	byteHigh     = 2 // TH, followed by TL and the configuration
	byteConfig   = 4
	byteSix      = 6
)

const (
	conversionMeasured = 600 * time.Millisecond
	rawFailed          = 0x07FF
	sixAtPowerOn       = 0x0C
)

var powerOnGenuine = [8]byte{0x50, 0x05, 0x4B, 0x46, 0x7F, 0xFF, sixAtPowerOn, 0x10}

// Chip is one DS18B20. Its line's lock guards it.
type Chip struct {
	line   *Line
	o      ChipOptions
	faults ChipFaults

	pad    [8]byte
	eeprom [3]byte // TH, TL, configuration
	alarm  bool

	converting  bool
	fed         bool // the strong pull-up has held since the last slot
	raw         int16
	doneAt      time.Duration
	conversions int

	protocol
}

func newChip(l *Line, o ChipOptions) *Chip {
	if o.Conversion == 0 {
		o.Conversion = conversionMeasured
	}
	if o.PowerOn == [8]byte{} {
		o.PowerOn = powerOnGenuine
	}
	c := &Chip{line: l, o: o}
	c.powerUp()
	copy(c.eeprom[:], o.PowerOn[byteHigh:])
	return c
}

// powerUp is what a chip does when its supply comes back.
func (c *Chip) powerUp() {
	c.pad = c.o.PowerOn
	if c.eeprom != [3]byte{} {
		copy(c.pad[byteHigh:], c.eeprom[:])
	}
	c.converting, c.alarm, c.phase = false, false, idle
}

// Address returns the ROM code that the chip has now.
func (c *Chip) Address() sensors.Address {
	c.line.mu.Lock()
	defer c.line.mu.Unlock()
	return c.o.Address
}

// Conversions returns how many conversions the chip was told to begin.
func (c *Chip) Conversions() int {
	c.line.mu.Lock()
	defer c.line.mu.Unlock()
	return c.conversions
}

// scratchpad returns the nine bytes with their CRC, undamaged.
func (c *Chip) scratchpad() (pad [9]byte) {
	copy(pad[:], c.pad[:])
	pad[8] = sensors.CRC8(c.pad[:])
	return pad
}

// convert begins a conversion. The temperature is that of the beginning. A
// chip that is told to convert while it converts begins again; what a real one
// does is not documented.
func (c *Chip) convert(now time.Duration) {
	c.conversions++
	c.settle(now)
	if c.faults.BrownOut {
		c.powerUp()
		return
	}
	c.converting, c.fed = true, false
	c.raw = rawOf(c.o.Celsius())
	c.doneAt = now + c.duration()
}

func (c *Chip) duration() time.Duration {
	if c.faults.Slow > 0 {
		return c.faults.Slow
	}
	return c.o.Conversion >> (12 - c.bits())
}

func (c *Chip) bits() int { return int(c.pad[byteConfig]&0x60)>>5 + 9 }

// settle ends a conversion whose time has come.
func (c *Chip) settle(now time.Duration) {
	if !c.converting || now < c.doneAt {
		return
	}
	if c.o.Parasite && !c.fed {
		c.powerUp() // converting took more current than the pull-up gives
		return
	}
	c.finish()
}

// finish puts the result where it is read from.
func (c *Chip) finish() {
	c.converting = false
	switch {
	case c.faults.Stuck:
		return
	case c.faults.ConversionFails:
		c.store(rawFailed, sixAtPowerOn)
		return
	}
	raw := c.raw &^ (1<<(12-c.bits()) - 1)
	six := 0x10 - byte(raw)&0x0F
	if c.o.SixFrozen {
		six = sixAtPowerOn
	}
	c.store(raw, six)
}

func (c *Chip) store(raw int16, six byte) {
	c.pad[byteTempLow], c.pad[byteTempHigh], c.pad[byteSix] = byte(raw), byte(uint16(raw)>>8), six
	whole := int8(raw >> 4)
	c.alarm = whole >= int8(c.pad[byteHigh]) || whole <= int8(c.pad[byteHigh+1])
}

// unfeed ends the strong pull-up. A chip that lives on it and is not done
// loses its supply.
func (c *Chip) unfeed() {
	if c.converting && c.o.Parasite && c.fed {
		c.powerUp()
	}
	c.fed = false
}

// rawOf returns c °C in sixteenths of a degree, within what twelve bits hold.
func rawOf(c float64) int16 {
	return int16(math.Floor(min(max(c, -128), 127.9)*16 + 0.5))
}
