package wire_test

import (
	"math"
	"testing"

	"periph.io/x/conn/v3/physic"
	"periph.io/x/devices/v3/bmxx80"

	"bainward/sensors/bench/wire"
)

// periph reads the emulated barometer. 100653.25 Pa at 25.08 °C is the worked
// example of the data sheet (BST-BMP280-DS001, §3.12).
func TestPeriphReadsThePressureThatWasSet(t *testing.T) {
	pascal := 0.0
	bus := wire.NewBus("bench", (&wire.ManualClock{}).Clock())
	bus.Attach(0x76, wire.NewBMP280(func() float64 { return pascal }))
	dev, err := bmxx80.NewI2C(bus, 0x76, &bmxx80.Opts{Temperature: bmxx80.O1x, Pressure: bmxx80.O1x})
	if err != nil {
		t.Fatal(err)
	}
	for _, pascal = range []float64{61640.2, 79495.2, 95460.8, 98000, 100653.25, 101325, 104000, 108000} {
		var e physic.Env
		if err := dev.Sense(&e); err != nil {
			t.Fatal(err)
		}
		if got := float64(e.Pressure) / float64(physic.Pascal); math.Abs(got-pascal) > 1 {
			t.Errorf("got %.2f Pa, want %.2f", got, pascal)
		}
		if got := e.Temperature.Celsius(); math.Abs(got-25.08) > 0.01 {
			t.Errorf("got %.3f °C, want 25.08", got)
		}
	}
}

func TestTheWorkedExampleHasItsPublishedRawValue(t *testing.T) {
	bus := wire.NewBus("bench", (&wire.ManualClock{}).Clock())
	bus.Attach(0x76, wire.NewBMP280(func() float64 { return 100653.25 }))
	var data [6]byte
	for _, tx := range []struct{ w, r []byte }{{[]byte{0xF4, 0x25}, nil}, {[]byte{0xF7}, data[:]}} {
		if err := bus.Tx(0x76, tx.w, tx.r); err != nil {
			t.Fatal(err)
		}
	}
	raw := func(b []byte) int { return int(b[0])<<12 | int(b[1])<<4 | int(b[2])>>4 }
	if p, c := raw(data[:3]), raw(data[3:]); p != 415148 || c != 519888 {
		t.Errorf("adc_P %d and adc_T %d, want 415148 and 519888", p, c)
	}
}

func TestABarometerThatIsNotFittedDoesNotAnswer(t *testing.T) {
	bus := wire.NewBus("bench", (&wire.ManualClock{}).Clock())
	if _, err := bmxx80.NewI2C(bus, 0x76, &bmxx80.DefaultOpts); err == nil {
		t.Error("found a barometer on an empty bus")
	}
}
