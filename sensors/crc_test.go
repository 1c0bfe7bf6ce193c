package sensors_test

import (
	"testing"

	"bainward/sensors"
)

// The check value of CRC-8/MAXIM-DOW in the catalogue of parametrised CRC
// algorithms.
func TestCRC8HasItsCatalogueCheckValue(t *testing.T) {
	if got := sensors.CRC8([]byte("123456789")); got != 0xA1 {
		t.Errorf("got %02X, want A1", got)
	}
}

// The worked example of Maxim Application Note 27 ("Understanding and Using
// Cyclic Redundancy Checks with Maxim 1-Wire and iButton Products"): the ROM
// code A2 00 00 00 01 B8 1C 02, written there with its last byte first. The
// values after each byte were computed from its rule.
func TestCRC8OfApplicationNote27AfterEachByte(t *testing.T) {
	rom := []byte{0x02, 0x1C, 0xB8, 0x01, 0x00, 0x00, 0x00}
	after := []byte{0xBC, 0xAF, 0x1E, 0xDC, 0xF4, 0x15, 0xA2}
	for i, want := range after {
		if got := sensors.CRC8(rom[:i+1]); got != want {
			t.Errorf("after % X: got %02X, want %02X", rom[:i+1], got, want)
		}
	}
}

func TestCRC8OverDataAndItsCRCIsZero(t *testing.T) {
	for _, r := range roms {
		if got := sensors.CRC8(r.wire[:]); got != 0 {
			t.Errorf("ROM % X: got %02X, want 00", r.wire, got)
		}
	}
	for _, p := range pads {
		if got := sensors.CRC8(p.pad[:8]); got != p.pad[8] {
			t.Errorf("scratchpad % X: got %02X", p.pad, got)
		}
	}
}

// Why a wire held low needs a check of its own, and one that floats does not.
func TestCRC8OfADeadWire(t *testing.T) {
	var low [9]byte
	if got := sensors.CRC8(low[:]); got != 0 {
		t.Errorf("nine zeros: got %02X, want 00", got)
	}
	high := [8]byte{0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF}
	if got := sensors.CRC8(high[:]); got != 0xC9 {
		t.Errorf("eight FFh: got %02X, want C9", got)
	}
}

func TestCRC8SeesEveryOneAndTwoWrongBits(t *testing.T) {
	good := [9]byte{0xB8, 0x01, 0x4B, 0x46, 0x7F, 0xFF, 0x08, 0x10, 0x8A}
	for i := range 72 {
		for j := i; j < 72; j++ {
			bad := good
			bad[i/8] ^= 1 << (i % 8)
			if j != i {
				bad[j/8] ^= 1 << (j % 8)
			}
			if sensors.CRC8(bad[:]) == 0 {
				t.Fatalf("bits %d and %d wrong: not seen", i, j)
			}
		}
	}
}
