package wire_test

import (
	"errors"
	"slices"
	"testing"

	"periph.io/x/conn/v3/onewire"
	"periph.io/x/devices/v3/ds18b20"
	"periph.io/x/devices/v3/ds248x"

	"bainward/sensors"
	"bainward/sensors/bench/wire"
)

const bridgeAddr = 0x18

// A genuine chip's address (C. Petrich, github.com/cpetrich/counterfeit_DS18B20).
var genuine = sensors.NewAddress(sensors.FamilyDS18B20, 0x00000BBB9B13)

// newBus returns a line with the chips behind a DS2482-100.
func newBus(chips ...wire.ChipOptions) (*wire.Bus, *wire.Line, *wire.ManualClock) {
	clock := &wire.ManualClock{}
	line := wire.NewLine(clock.Clock())
	for _, c := range chips {
		line.Add(c)
	}
	bus := wire.NewBus("bench", clock.Clock())
	bus.Attach(bridgeAddr, wire.NewDS2482(line))
	return bus, line, clock
}

// newDev is periph's driver without its waiting.
func newDev(t *testing.T, bus *wire.Bus) *ds248x.Dev {
	t.Helper()
	dev, err := ds248x.New(bus, bridgeAddr, &ds248x.Opts{})
	if err != nil {
		t.Fatal(err)
	}
	return dev
}

func at(a sensors.Address, celsius float64) wire.ChipOptions {
	return wire.ChipOptions{Address: a, Celsius: func() float64 { return celsius }}
}

// The search of Application Note 187 takes the zero branch first, so chips come
// in the order of their addresses read from the bit that is sent first.
func TestSearchMeetsChipsInTheOrderOfTheirBits(t *testing.T) {
	for _, n := range []int{1, 2, 20} {
		var chips []wire.ChipOptions
		var want []string
		for i := range n {
			a := sensors.NewAddress(sensors.FamilyDS18B20, uint64(0x0B000001+i*0x3571))
			chips, want = append(chips, at(a, 20)), append(want, bits(a))
		}
		slices.Sort(want)
		bus, _, _ := newBus(chips...)
		found, err := newDev(t, bus).Search(false)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, f := range found {
			got = append(got, bits(sensors.Address(f)))
		}
		if !slices.Equal(got, want) {
			t.Errorf("%d chips: found %v, want %v", n, got, want)
		}
	}
}

// bits writes an address as it is sent.
func bits(a sensors.Address) string {
	s := make([]byte, 64)
	for i := range s {
		s[i] = '0' + byte(a>>i&1)
	}
	return string(s)
}

// Status bits as in the DS2482-100 data sheet, "status register".
func TestStatusTellsPresenceShortAndLevel(t *testing.T) {
	const presence, short, level, reset = 0x02, 0x04, 0x08, 0x10
	for _, c := range []struct {
		name   string
		chips  []wire.ChipOptions
		faults wire.LineFaults
		want   byte
	}{
		{"a chip", []wire.ChipOptions{at(genuine, 20)}, wire.LineFaults{}, presence | level},
		{"nobody", nil, wire.LineFaults{}, level},
		{"open", []wire.ChipOptions{at(genuine, 20)}, wire.LineFaults{Open: true}, level},
		{"short", []wire.ChipOptions{at(genuine, 20)}, wire.LineFaults{Short: true}, short},
	} {
		bus, line, _ := newBus(c.chips...)
		line.SetFaults(c.faults)
		status := []byte{0}
		tx(t, bus, []byte{0xF0}, status)
		if status[0]&reset == 0 {
			t.Errorf("%s: status %#02x after a device reset, want RST", c.name, status[0])
		}
		tx(t, bus, []byte{0xD2, 0xE1}, nil)
		tx(t, bus, []byte{0xB4}, status)
		if status[0] != c.want {
			t.Errorf("%s: status %#02x, want %#02x", c.name, status[0], c.want)
		}
	}
}

func tx(t *testing.T, bus *wire.Bus, w, r []byte) {
	t.Helper()
	if err := bus.Tx(bridgeAddr, w, r); err != nil {
		t.Fatalf("% X: %v", w, err)
	}
}

func TestABridgeDoesNotAcknowledgeWhatItDoesNotKnow(t *testing.T) {
	for name, w := range map[string][]byte{
		"unknown command":                {0x00},
		"unknown register":               {0xE1, 0x00},
		"port register of a DS2483":      {0xE1, 0xB4},
		"channel register of a -800":     {0xE1, 0xD2},
		"channel of a -800":              {0xC3, 0xF0},
		"configuration without its twin": {0xD2, 0x11},
		"command without its argument":   {0xA5},
	} {
		bus, _, _ := newBus()
		if err := bus.Tx(bridgeAddr, w, nil); !errors.Is(err, wire.ErrNack) {
			t.Errorf("%s, % X: got %v, want %v", name, w, err, wire.ErrNack)
		}
	}
	bus, _, _ := newBus()
	if err := bus.Tx(0x19, []byte{0xF0}, nil); !errors.Is(err, wire.ErrNack) {
		t.Errorf("empty address: got %v, want %v", err, wire.ErrNack)
	}
}

// Power-on scratchpads of several families with their CRCs, as read from real
// chips (C. Petrich, github.com/cpetrich/counterfeit_DS18B20).
func TestPowerOnScratchpadsAreThePublishedOnes(t *testing.T) {
	for _, want := range [][9]byte{
		{0x50, 0x05, 0x4B, 0x46, 0x7F, 0xFF, 0x0C, 0x10, 0x1C}, // A1, B1, B2
		{0x50, 0x05, 0x00, 0x00, 0x1F, 0xFF, 0x0C, 0x10, 0x74}, // A1, odd
		{0x50, 0x05, 0x7F, 0x80, 0x7F, 0xFF, 0x0C, 0x10, 0x93}, // A3
		{0x50, 0x05, 0x55, 0x00, 0x7F, 0xFF, 0x0C, 0x10, 0x21}, // C, F
		{0x50, 0x05, 0x4B, 0x46, 0x7F, 0xFF, 0x10, 0x10, 0xBD}, // E
		{0x50, 0x05, 0x55, 0xAA, 0x7F, 0xFF, 0x0C, 0x10, 0xAF}, // G, H
	} {
		chip := at(genuine, 20)
		chip.PowerOn = [8]byte(want[:8])
		bus, _, _ := newBus(chip)
		if got := scratchpad(t, newDev(t, bus), genuine); got != want {
			t.Errorf("got % X, want % X", got, want)
		}
	}
}

func scratchpad(t *testing.T, dev *ds248x.Dev, a sensors.Address) (pad [9]byte) {
	t.Helper()
	to := onewire.Dev{Bus: dev, Addr: onewire.Address(a)}
	if err := to.Tx([]byte{0xBE}, pad[:]); err != nil {
		t.Fatal(err)
	}
	return pad
}

func TestReadROMGivesTheAddressOfAnOnlyChip(t *testing.T) {
	bus, _, _ := newBus(at(genuine, 20))
	var rom [8]byte
	if err := newDev(t, bus).Tx([]byte{0x33}, rom[:], onewire.WeakPullup); err != nil {
		t.Fatal(err)
	}
	// 28-13-9B-BB-0B-00-00-1F as printed by C. Petrich.
	if want := [8]byte{0x28, 0x13, 0x9B, 0xBB, 0x0B, 0, 0, 0x1F}; rom != want {
		t.Errorf("got % X, want % X", rom, want)
	}
}

// periph's own driver writes the resolution and reads it back.
func TestResolutionIsSetByPeriphAndOutlivesABrownOut(t *testing.T) {
	bus, line, clock := newBus(at(genuine, 20.4375))
	dev := newDev(t, bus)
	for bits, config := range map[int]byte{9: 0x1F, 10: 0x3F, 11: 0x5F, 12: 0x7F} { // data sheet 19-7487, table 2
		if _, err := ds18b20.New(dev, onewire.Address(genuine), bits); err != nil {
			t.Fatal(err)
		}
		line.Chips()[0].BrownOut()
		if got := scratchpad(t, dev, genuine)[4]; got != config {
			t.Errorf("%d bits: configuration %#x, want %#x", bits, got, config)
		}
		convertAll(t, dev)
		clock.Advance(wantConversion(bits))
		step := int16(1) << (12 - bits)
		pad := scratchpad(t, dev, genuine)
		if raw := int16(pad[1])<<8 | int16(pad[0]); raw != 327&^(step-1) { // 20.4375 °C is 327/16
			t.Errorf("%d bits: raw %d, want 327 rounded down to %d", bits, raw, step)
		}
	}
}

func convertAll(t *testing.T, dev *ds248x.Dev) {
	t.Helper()
	if err := dev.Tx([]byte{0xCC, 0x44}, nil, onewire.WeakPullup); err != nil {
		t.Fatal(err)
	}
}

// Chips outside their alarm limits answer the alarm search: power-on TH is
// 75 °C and TL 70 °C.
func TestAlarmSearchFindsOnlyChipsOutsideTheirLimits(t *testing.T) {
	other := sensors.NewAddress(sensors.FamilyDS18B20, 0x000010D6CA)
	bus, _, clock := newBus(at(genuine, 72), at(other, 90))
	dev := newDev(t, bus)
	convertAll(t, dev)
	clock.Advance(wantConversion(12))
	scratchpad(t, dev, genuine)
	found, err := dev.Search(true)
	if err != nil {
		t.Fatal(err)
	}
	if want := []onewire.Address{onewire.Address(other)}; !slices.Equal(found, want) {
		t.Errorf("found %x, want %x", found, want)
	}
}
