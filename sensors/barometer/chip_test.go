package barometer_test

import (
	"errors"
	"sync"

	"periph.io/x/conn/v3/physic"
)

var errNack = errors.New("no acknowledge")

// chip is a bus with one BMP280 on it, at register level (data sheet
// BST-BMP280-DS001, §4 memory map): a write is a register number and its values
// in pairs, a read counts up from the register named.
type chip struct {
	addr uint16
	id   byte

	mu       sync.Mutex
	raw      uint32 // adc_P of the next measurement
	gone     bool
	ones     bool // the bus reads all ones
	regs     [256]byte
	starts   int // measurements
	searches int // times its identity was asked for
}

// newChip returns a BMP280 with the calibration of the worked example in §3.12.
func newChip() *chip {
	c := &chip{addr: 0x76, id: 0x58, raw: 415148}
	for i, v := range []int{
		27504, 26435, -1000, // dig_T1…T3
		36477, -10685, 3024, 2855, 140, -7, 15500, -14600, 6000, // dig_P1…P9
	} {
		c.regs[0x88+2*i], c.regs[0x89+2*i] = byte(v), byte(v>>8)
	}
	return c
}

func (c *chip) String() string                    { return "bench" }
func (c *chip) SetSpeed(f physic.Frequency) error { return nil }

func (c *chip) Tx(addr uint16, w, r []byte) error {
	c.mu.Lock()
	defer c.mu.Unlock()
	if len(w) > 0 && w[0] == 0xD0 {
		c.searches++
	}
	if addr != c.addr || c.gone {
		return errNack
	}
	c.regs[0xD0] = c.id
	if len(r) == 0 {
		for i := 0; i+1 < len(w); i += 2 {
			c.set(w[i], w[i+1])
		}
		return nil
	}
	for i := range r {
		r[i] = c.regs[w[0]+byte(i)]
		if c.ones {
			r[i] = 0xFF
		}
	}
	return nil
}

// set writes a register; forced mode in ctrl_meas starts a measurement.
func (c *chip) set(reg, v byte) {
	c.regs[reg] = v
	if reg == 0xF4 && v&3 == 1 {
		c.starts++
		c.store(0xF7, c.raw)
		c.store(0xFA, 519888) // adc_T of the worked example
	}
}

// store writes 20 bits, highest first, into three registers.
func (c *chip) store(reg byte, raw uint32) {
	c.regs[reg], c.regs[reg+1], c.regs[reg+2] = byte(raw>>12), byte(raw>>4), byte(raw<<4)
}

// change changes the chip between transactions.
func (c *chip) change(what func()) {
	c.mu.Lock()
	defer c.mu.Unlock()
	what()
}

func (c *chip) counts() (starts, searches int) {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.starts, c.searches
}
