package sensors_test

import (
	"encoding/binary"
	"strings"
	"testing"

	"bainward/sensors"
)

// The kernel names a device by family and serial number, most significant byte
// first, and leaves the CRC out (C. Petrich, as in roms).
func TestROMCodesAndTheKernelsNames(t *testing.T) {
	for _, r := range roms {
		a := sensors.Address(binary.LittleEndian.Uint64(r.wire[:]))
		if got := a.String(); got != r.name {
			t.Errorf("% X: named %s, want %s", r.wire, got, r.name)
		}
		for _, name := range []string{r.name, strings.ToUpper(r.name)} {
			back, err := sensors.ParseAddress(name)
			if err != nil || back != a {
				t.Errorf("%s: parsed as % X (%v), want % X", name, back.Bytes(), err, r.wire)
			}
		}
		if a.Bytes() != r.wire {
			t.Errorf("%s: bytes % X, want % X", r.name, a.Bytes(), r.wire)
		}
		if !a.Valid() {
			t.Errorf("%s is not valid", r.name)
		}
		if got := sensors.NewAddress(a.Family(), a.Serial()); got != a {
			t.Errorf("%s: made anew as % X, want % X", r.name, got.Bytes(), r.wire)
		}
	}
}

// Codes printed in the README of the same source whose CRC does not fit.
func TestMisprintedROMCodesAreNotValid(t *testing.T) {
	for _, wire := range [][8]byte{
		{0x28, 0x9B, 0x9E, 0xCB, 0x03, 0x00, 0x00, 0x1F},
		{0x28, 0x94, 0x77, 0x5F, 0x33, 0x23, 0x09, 0x37},
		{}, // eight zeros have the right CRC, but are nobody
	} {
		if sensors.Address(binary.LittleEndian.Uint64(wire[:])).Valid() {
			t.Errorf("% X is valid", wire)
		}
	}
}

func TestWhatIsNoAddressIsRefusedByName(t *testing.T) {
	for _, text := range []string{
		"", "28", "28-", "28-00000bbb9b1", "28-00000bbb9b133", "8-00000bbb9b13", "028-0000bbb9b13",
		"28-00000bbb9b1g", "2g-00000bbb9b13", "28_00000bbb9b13", "28-0x000bbb9b13", "28-+0000bbb9b13",
		"28-00000bbb9b13 ", "28.139BBB0B0000",
	} {
		a, err := sensors.ParseAddress(text)
		if err == nil || a != 0 {
			t.Errorf("%q: got %v, %v; want an error", text, a, err)
			continue
		}
		if !strings.Contains(err.Error(), `"`+text+`"`) {
			t.Errorf("%q: error %q does not name it", text, err)
		}
	}
}

func TestASerialNumberOfMoreThan48BitsIsCut(t *testing.T) {
	if got, want := sensors.NewAddress(0x28, 1<<48|5), sensors.NewAddress(0x28, 5); got != want {
		t.Errorf("got %v, want %v", got, want)
	}
}
