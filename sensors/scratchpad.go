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

// near85 is how far from 85 °C the reading before may lie to be a witness for a
// true 85 °C, in 1/16 °C: 2 °C. Polls are about a second apart, and a bath near
// 85 °C moves under 1 °C/s (common practice, no source).
const near85 = 2 * 16

// Decode judges the nine scratchpad bytes of a DS18B20 and returns the
// temperature or the fault. The order matters: a wire held low passes the CRC.
//
// The 85 °C question: after a conversion a genuine chip holds 10h minus the low
// nibble of byte 0 in the reserved byte 6, so a true 85.0 °C has 10h there and
// the power-on value has 0Ch (measured and published by C. Petrich,
// github.com/cpetrich/counterfeit_DS18B20, "Solution to the 85 °C problem").
// Some copies keep 0Ch for ever; for those a reading near 85 °C just before is
// the witness. Not caught are a supply that fails while such a copy is near
// 85 °C, copies that start with 10h, and copies that start at 25 °C (families E
// and D of the same source).
func (h *History) Decode(pad [9]byte) Reading {
	switch {
	case pad == [9]byte{}:
		h.Lost()
		return Failed(AllZero)
	case allOnes(pad):
		h.Lost()
		return Failed(AllOnes)
	case CRC8(pad[:padCRC]) != pad[padCRC]:
		return Failed(BadCRC)
	case pad[padConfig]&0x9F != 0x1F:
		return Failed(OutOfRange)
	}
	raw := rawOf(pad)
	if raw == rawConversionFailed {
		h.Lost()
		return Failed(ConversionFailed)
	}
	// Byte 6 goes with all bits of byte 0, and so do these two: at 9 bits 0554h
	// is 85 °C and rightly has 0Ch there.
	powerOn := raw == rawPowerOn && pad[padSix] == sixAtPowerOn
	converted := raw != rawPowerOn && raw&0x0F != 0x04 // byte 6 cannot be 0Ch then
	raw &^= 1<<(12-Resolution(pad)) - 1                // undefined low bits
	switch {
	case raw < rawMin || raw > rawMax:
		return Failed(OutOfRange)
	case powerOn && !h.witnesses85():
		h.Lost()
		return Failed(PowerOn)
	case converted && pad[padSix] == sixAtPowerOn:
		h.sixFrozen = true
	}
	h.last, h.hasLast = raw, true
	return Reading{Temperature: physic.ZeroCelsius + physic.Temperature(raw)*rawStep}
}

// Lost tells that the probe did not answer, so that it may have lost its supply:
// what it said before is no witness any more.
func (h *History) Lost() { h.hasLast = false }

func (h *History) witnesses85() bool {
	return h.sixFrozen && h.hasLast && h.last >= rawPowerOn-near85 && h.last <= rawPowerOn+near85
}

// rawOf returns the temperature bytes, in 1/16 °C with the undefined bits.
func rawOf(pad [9]byte) int16 {
	return int16(uint16(pad[padTempHigh])<<8 | uint16(pad[padTempLow]))
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
	MakeUnknown Make = iota // nothing read yet, or nothing usable
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
// with byte 6 in 1…10h (C. Petrich, as above, 2024-11-30). Damaged bytes and a
// failed conversion tell nothing.
func Judge(a Address, pad [9]byte) Make {
	serial := a.Serial()
	switch {
	case pad == [9]byte{} || allOnes(pad):
		return MakeUnknown
	case a.Family() != FamilyDS18B20 || serial>>32 != 0 || serial>>24 == 0:
		return AddressOdd
	case CRC8(pad[:padCRC]) != pad[padCRC] || rawOf(pad) == rawConversionFailed:
		return MakeUnknown
	case Resolution(pad) != 12:
		return LooksGenuine // the pattern of byte 6 is published for 12 bits only
	case pad[padSix] == sixAtPowerOn && rawOf(pad) == rawPowerOn:
		return LooksGenuine // nothing converted yet
	case (pad[padTempLow]+pad[padSix])&0x0F != 0 || pad[padSix] == 0 || pad[padSix] > 0x10:
		return SixOdd
	}
	return LooksGenuine
}
