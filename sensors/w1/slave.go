package w1

import (
	"bytes"
	"encoding/hex"

	"bainward/sensors"
)

// ParseSlave takes the nine scratchpad bytes from the text of a w1_slave file:
//
//	b8 01 4b 46 7f ff 08 10 8a : crc=8a YES
//	b8 01 4b 46 7f ff 08 10 8a t=27500
//
// Only the first line counts: the second holds the last good bytes, beside a
// temperature of the newest, be they good or not (Linux w1_therm.c).
//
// The fault is Absent if nothing answered, and BadCRC if the kernel says NO or
// the first line is incomplete. NoFault does not mean that the bytes are good:
// they are for sensors.History to judge. The bytes are those of the first line,
// or zero if it has none.
func ParseSlave(text []byte) (pad [9]byte, fault sensors.Fault) {
	if len(bytes.TrimSpace(text)) == 0 {
		return pad, sensors.Absent
	}
	line, _, _ := bytes.Cut(text, []byte("\n"))
	pad, yes, ok := parseLine(line)
	switch {
	case !ok:
		return [9]byte{}, sensors.BadCRC
	case yes:
		return pad, sensors.NoFault
	case pad == [9]byte{}:
		// Nine zeros have the right CRC. A kernel that says NO beside them has
		// read nothing.
		return pad, sensors.Absent
	case pad == [9]byte(bytes.Repeat([]byte{0xFF}, 9)):
		return pad, sensors.NoFault // an idle wire; the bytes say so themselves
	}
	return pad, sensors.BadCRC
}

// padText is the length of nine bytes in hexadecimal, each with a space.
const padText = 9 * 3

// parseLine splits a first line into its bytes and whether the kernel says YES.
// The checksum that the kernel names is only looked at for its shape.
func parseLine(line []byte) (pad [9]byte, yes, ok bool) {
	if len(line) < padText {
		return pad, false, false
	}
	for i := range pad {
		field := line[3*i : 3*i+3]
		if _, err := hex.Decode(pad[i:i+1], field[:2]); err != nil || field[2] != ' ' {
			return pad, false, false
		}
	}
	crc, found := bytes.CutPrefix(line[padText:], []byte(": crc="))
	if !found || len(crc) < 3 || crc[2] != ' ' {
		return pad, false, false
	}
	if _, err := hex.Decode(make([]byte, 1), crc[:2]); err != nil {
		return pad, false, false
	}
	yes = string(crc[3:]) == "YES"
	return pad, yes, yes || string(crc[3:]) == "NO"
}
