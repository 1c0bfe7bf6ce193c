package wire

import (
	"sort"
	"sync"
)

// Registers of a BMP280 (data sheet BST-BMP280-DS001, §4.2 memory map).
const (
	bmpCalibration = 0x88
	bmpChipID      = 0xD0
	bmpReset       = 0xE0
	bmpStatus      = 0xF3
	bmpControl     = 0xF4
	bmpPressure    = 0xF7 // six bytes: pressure, temperature, each 20 bits
)

const (
	bmpID        = 0x58
	bmpResetWord = 0xB6
	bmpNoData    = 0x80000 // before the first measurement (§4.3.6)
	bmpRawMax    = 1<<20 - 1
	bmpAsleep    = 0
)

// The calibration and the raw temperature of the worked example in §3.12 of
// the data sheet, in which adc_P 415148 is 100653.27 Pa at 25.08 °C.
const (
	exampleRawTemperature = 519888
	exampleFine           = 128422 // t_fine of that temperature
)

var exampleCalibration = [12]int64{
	27504, 26435, -1000, // T1…T3
	36477, -10685, 3024, 2855, 140, -7, 15500, -14600, 6000, // P1…P9
}

// BMP280 is a barometer at a fixed 25.08 °C. It is a Device.
type BMP280 struct {
	pascal func() float64

	mu      sync.Mutex
	pointer byte
	regs    [256]byte
}

// NewBMP280 returns a barometer that measures what pascal returns, in Pa,
// whenever it is told to measure. pascal must not call back into this package.
func NewBMP280(pascal func() float64) *BMP280 {
	b := &BMP280{pascal: pascal}
	b.powerUp()
	return b
}

func (b *BMP280) powerUp() {
	b.regs = [256]byte{bmpChipID: bmpID}
	for i, v := range exampleCalibration {
		b.regs[bmpCalibration+2*i] = byte(v)
		b.regs[bmpCalibration+2*i+1] = byte(v >> 8)
	}
	b.store(bmpPressure, bmpNoData)
	b.store(bmpPressure+3, bmpNoData)
}

// Tx implements Device: a register number and its values in pairs, or a
// register number followed by a read that counts up (§5.2).
func (b *BMP280) Tx(w, r []byte) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch {
	case len(w) == 1:
		b.pointer = w[0]
	case len(w)%2 != 0:
		return ErrNack
	}
	for i := 0; i+1 < len(w); i += 2 {
		b.write(w[i], w[i+1])
	}
	for i := range r {
		r[i] = b.regs[b.pointer]
		b.pointer++
	}
	return nil
}

func (b *BMP280) write(reg, v byte) {
	switch {
	case reg == bmpReset && v == bmpResetWord:
		b.powerUp()
	case reg > bmpStatus && reg < bmpPressure:
		b.regs[reg] = v
	}
	if reg == bmpControl && v&3 != bmpAsleep {
		b.measure()
	}
}

// measure makes one measurement, which takes no time here.
func (b *BMP280) measure() {
	b.store(bmpPressure, rawPressure(b.pascal()))
	b.store(bmpPressure+3, exampleRawTemperature)
}

func (b *BMP280) store(reg, raw int) {
	b.regs[reg], b.regs[reg+1], b.regs[reg+2] = byte(raw>>12), byte(raw>>4), byte(raw<<4)
}

// rawPressure returns the raw value whose compensated pressure comes nearest
// above pascal. One step is about a sixth of a pascal.
func rawPressure(pascal float64) int {
	// The pressure falls as the raw value rises.
	raw := sort.Search(bmpRawMax, func(raw int) bool { return compensated(int64(raw)) < pascal })
	return max(0, raw-1)
}

// compensated is the 64-bit pressure formula of §3.11.3 in Pa, for the
// example's calibration and temperature.
func compensated(raw int64) float64 {
	p := exampleCalibration[2:] // p[1] is P1
	v1 := int64(exampleFine) - 128000
	v2 := v1*v1*p[6] + (v1*p[5])<<17 + p[4]<<35
	v1 = (v1*v1*p[3])>>8 + (v1*p[2])<<12
	v1 = ((int64(1)<<47 + v1) * p[1]) >> 33
	q := ((1048576-raw)<<31 - v2) * 3125 / v1
	v1 = (p[9] * (q >> 13) * (q >> 13)) >> 25
	v2 = (p[8] * q) >> 19
	return float64((q+v1+v2)>>8+p[7]<<4) / 256
}
