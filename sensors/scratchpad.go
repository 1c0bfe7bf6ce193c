package sensors

import "periph.io/x/conn/v3/physic"

// Scratchpad bytes of a DS18B20 (data sheet 19-7487, memory map).
const (
	padTempLow  = 0
	padTempHigh = 1
	padConfig   = 4
	padFive     = 5 // reserved, FFh
	padSix      = 6 // reserved; see Decode
	padSeven    = 7 // reserved, 10h
	padCRC      = 8
)

const (
	rawPowerOn          = 0x0550 // +85 °C, the value before any conversion
	rawConversionFailed = 0x07FF
	sixAtPowerOn        = 0x0C
	rawStep             = physic.Celsius / 16
	rawMin              = -55 * 16
	rawMax              = 125 * 16
)

// History is what a decoder remembers of one probe from read to read. It tells
// a true 85 °C from the power-on value on chips whose byte 6 never changes.
type History struct {
	// sixFrozen: byte 6 stayed 0Ch beside a value that only a conversion gives.
	sixFrozen bool
	last      int16
	hasLast   bool
}

// near85 is how far from 85 °C the reading before may lie for a second 85 °C
// to be a true one: a probe in stirred water moves at most 80 °C/7 s (the
// fastest time constant measured), and a poll is a second, but water near
// 85 °C in a bath moves under 1 °C/s. In 1/16 °C.
const near85 = 2 * 16

// Decode judges the nine scratchpad bytes of a DS18B20 and returns the
// temperature or the fault. The order matters: a wire held low passes the CRC.
//
// The 85 °C question: after a conversion a genuine chip holds 10h minus the low
// nibble of byte 0 in the reserved byte 6, so a true 85.0 °C has 10h there and
// the power-on value has 0Ch (measured and published by C. Petrich,
// github.com/cpetrich/counterfeit_DS18B20, "Solution to the 85 °C problem").
// Some copies keep 0Ch for ever; for those a reading near 85 °C just before is
// the witness.
func (h *History) Decode(pad [9]byte) Reading {
	switch {
	case pad == [9]byte{}:
		return Failed(AllZero)
	case allOnes(pad):
		return Failed(AllOnes)
	case CRC8(pad[:padCRC]) != pad[padCRC]:
		return Failed(BadCRC)
	case pad[padConfig]&0x9F != 0x1F:
		return Failed(OutOfRange)
	}
	raw := int16(uint16(pad[padTempHigh])<<8 | uint16(pad[padTempLow]))
	if raw == rawConversionFailed {
		return Failed(ConversionFailed)
	}
	raw &^= 1<<(12-Resolution(pad)) - 1 // undefined low bits
	if raw < rawMin || raw > rawMax {
		return Failed(OutOfRange)
	}
	if raw == rawPowerOn && pad[padSix] == sixAtPowerOn && !h.witnesses85() {
		h.hasLast = false
		return Failed(PowerOn)
	}
	if raw != rawPowerOn && pad[padSix] == sixAtPowerOn && raw&0x0F != 0x04 {
		h.sixFrozen = true
	}
	h.last, h.hasLast = raw, true
	return Reading{Temperature: physic.ZeroCelsius + physic.Temperature(raw)*rawStep}
}

func (h *History) witnesses85() bool {
	return h.sixFrozen && h.hasLast && h.last >= rawPowerOn-near85 && h.last <= rawPowerOn+near85
}

// Resolution returns the bits of resolution set in the configuration byte,
// 9 to 12 (Linux drivers/w1/slaves/w1_therm.c).
func Resolution(pad [9]byte) int { return int(pad[padConfig]&0x60)>>5 + 9 }

func allOnes(pad [9]byte) bool {
	for _, b := range pad {
		if b != 0xFF {
			return false
		}
	}
	return true
}

// Make says what a scratchpad and an address tell about a chip's origin.
type Make uint8

// What is known of a chip's make.
const (
	MakeUnknown Make = iota // nothing read yet
	LooksGenuine
	AddressOdd // serial number outside the maker's pattern
	SixOdd     // byte 6 does not follow the temperature
)

func (m Make) String() string {
	switch m {
	case LooksGenuine:
		return "looks genuine"
	case AddressOdd:
		return "likely a copy: unusual address"
	case SixOdd:
		return "likely a copy: byte 6 does not follow the reading"
	}
	return "unknown"
}

// Judge tells whether address and scratchpad look like a genuine DS18B20. The
// pattern is necessary, not sufficient: serial numbers 28-0000xxxxxxxx with
// the fourth byte not zero, and, at 12 bits, byte 0 plus byte 6 divisible by 16
// with byte 6 in 1…10h (C. Petrich, as above, 2024-11-30).
func Judge(a Address, pad [9]byte) Make {
	serial := a.Serial()
	switch {
	case pad == [9]byte{} || allOnes(pad):
		return MakeUnknown
	case a.Family() != FamilyDS18B20 || serial>>32 != 0 || serial>>24 == 0:
		return AddressOdd
	case Resolution(pad) == 12 && pad[padSix] == sixAtPowerOn && pad[padTempLow] == 0x50 && pad[padTempHigh] == 0x05:
		return LooksGenuine // the power-on value; nothing converted yet
	case Resolution(pad) == 12 && ((pad[padTempLow]+pad[padSix])&0x0F != 0 || pad[padSix] == 0 || pad[padSix] > 0x10):
		return SixOdd
	}
	return LooksGenuine
}
