package sensors

import (
	"fmt"
	"strconv"
	"strings"
)

// Address is a 1-Wire ROM code: family code in the low byte, then the 48-bit
// serial number, then the CRC in the high byte, as the bytes come off the wire
// (least significant first). It has the layout of periph's onewire.Address.
type Address uint64

// Family codes of 12-bit thermometers that share the DS18B20's scratchpad
// (Linux drivers/w1/w1_family.h).
const (
	FamilyDS18B20 = 0x28
	FamilyDS1822  = 0x22
	FamilyDS1825  = 0x3B
)

// Family returns the family code, 28h for a DS18B20.
func (a Address) Family() byte { return byte(a) }

// Serial returns the 48-bit serial number.
func (a Address) Serial() uint64 { return uint64(a) >> 8 & (1<<48 - 1) }

// Bytes returns the eight bytes in the order in which they are sent.
func (a Address) Bytes() [8]byte {
	var b [8]byte
	for i := range b {
		b[i] = byte(a >> (8 * i))
	}
	return b
}

// String writes the address as the Linux kernel names it: family, a dash and
// the serial number most significant byte first, without the CRC.
func (a Address) String() string {
	return fmt.Sprintf("%02x-%012x", a.Family(), a.Serial())
}

// ParseAddress reads the kernel's form, such as 28-00000bbb9b13, in either
// case, and adds the CRC.
func ParseAddress(s string) (Address, error) {
	family, serial, found := strings.Cut(strings.ToLower(s), "-")
	if !found || len(family) != 2 || len(serial) != 12 {
		return 0, fmt.Errorf("parse probe address %q: want two hex digits, a dash and twelve hex digits, such as 28-00000bbb9b13", s)
	}
	f, err := strconv.ParseUint(family, 16, 8)
	if err != nil {
		return 0, fmt.Errorf("parse probe address %q: %q is not hexadecimal", s, family)
	}
	n, err := strconv.ParseUint(serial, 16, 48)
	if err != nil {
		return 0, fmt.Errorf("parse probe address %q: %q is not hexadecimal", s, serial)
	}
	return NewAddress(byte(f), n), nil
}

// NewAddress returns the address of a family code and a 48-bit serial number,
// with its CRC.
func NewAddress(family byte, serial uint64) Address {
	a := Address(family) | Address(serial&(1<<48-1))<<8
	b := a.Bytes()
	return a | Address(CRC8(b[:7]))<<56
}

// Valid reports whether the CRC in the high byte belongs to the rest.
func (a Address) Valid() bool {
	b := a.Bytes()
	return a != 0 && CRC8(b[:7]) == b[7]
}
