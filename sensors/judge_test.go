package sensors_test

import (
	"encoding/binary"
	"testing"

	"bainward/sensors"
)

// The patterns are C. Petrich's, as in vectors_test.go.

var genuine = sensors.NewAddress(sensors.FamilyDS18B20, 0x00000BBB9B13)

func TestAddressesOfKnownFamiliesAreJudged(t *testing.T) {
	for _, r := range roms {
		a := sensors.Address(binary.LittleEndian.Uint64(r.wire[:]))
		if got := sensors.Judge(a, genuineAt(0x01B8)); got != r.make {
			t.Errorf("%v, %s: %v, want %v", a, r.from, got, r.make)
		}
	}
}

func TestScratchpadsBehindAGenuineAddressAreJudged(t *testing.T) {
	for _, p := range pads {
		if got := sensors.Judge(genuine, p.pad); got != p.make {
			t.Errorf("%s: %v, want %v", p.from, got, p.make)
		}
	}
}

func TestByteSixMustFollowTheReadingAt12Bits(t *testing.T) {
	for raw := uint16(0x0190); raw < 0x01A0; raw++ {
		for six := range 256 {
			want := sensors.SixOdd
			if byte(six) == 0x10-byte(raw&0x0F) {
				want = sensors.LooksGenuine
			}
			if got := sensors.Judge(genuine, padAt(raw, byte(six))); got != want {
				t.Errorf("%04X with byte 6 %02X: %v, want %v", raw, six, got, want)
			}
		}
	}
	nine := sealed(0x90, 0x01, 0x4B, 0x46, 0x1F, 0xFF, 0x07, 0x10)
	if got := sensors.Judge(genuine, nine); got != sensors.LooksGenuine {
		t.Errorf("at 9 bits: %v; nothing is published of byte 6 there", got)
	}
}

func TestUnusableBytesTellNothing(t *testing.T) {
	ones := [9]byte{0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF}
	damaged := genuineAt(0x01B8)
	damaged[0] ^= 1
	for _, pad := range [][9]byte{{}, ones, damaged} {
		if got := sensors.Judge(genuine, pad); got != sensors.MakeUnknown {
			t.Errorf("% X: %v, want %v", pad, got, sensors.MakeUnknown)
		}
	}
}

func TestEveryMakeHasItsOwnWord(t *testing.T) {
	seen := map[string]bool{}
	for m := sensors.MakeUnknown; m <= sensors.SixOdd; m++ {
		if word := m.String(); word == "" || seen[word] {
			t.Errorf("make %d is %q", m, word)
		} else {
			seen[word] = true
		}
	}
}
