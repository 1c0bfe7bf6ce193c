package barometer_test

import (
	"context"
	"math"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"periph.io/x/conn/v3/i2c"
	"periph.io/x/conn/v3/physic"
	"periph.io/x/devices/v3/bmxx80"

	"bainward/sensors"
	"bainward/sensors/barometer"
)

func open(t *testing.T, c *chip) sensors.Barometer {
	t.Helper()
	b, err := barometer.Open(c, c.addr)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// The worked example of the BMP280 data sheet (BST-BMP280-DS001, §3.12): adc_P
// 415148 is 100653.27 Pa by its floating-point formula. Its 64-bit formula gives
// 25767233/256 Pa, recomputed; the tolerance is 1 Pa.
func TestTheWorkedExampleOfTheDataSheet(t *testing.T) {
	for _, id := range []byte{0x58, 0x60} { // BMP280, BME280
		synctest.Test(t, func(t *testing.T) {
			c := newChip()
			c.id = id
			got := open(t, c).Pressure(t.Context())
			if got.Fault != sensors.NoFault || got.Pascal < 100652 || got.Pascal > 100654 {
				t.Errorf("chip %#x: got %+v, want 100653 ±1 Pa", id, got)
			}
			if !got.OK() {
				t.Errorf("chip %#x: a good pressure is not OK", id)
			}
		})
	}
}

// periph's own answer, with its fractions, rounded.
func TestPressuresAreRoundedToTheNearestPascal(t *testing.T) {
	for raw := uint32(415140); raw < 415160; raw++ { // a sixth of a pascal each
		synctest.Test(t, func(t *testing.T) {
			c := newChip()
			c.raw = raw
			dev, err := bmxx80.NewI2C(c, c.addr, &bmxx80.DefaultOpts)
			if err != nil {
				t.Fatal(err)
			}
			var e physic.Env
			if err := dev.Sense(&e); err != nil {
				t.Fatal(err)
			}
			want := int32(math.Round(float64(e.Pressure) / float64(physic.Pascal)))
			if got := open(t, c).Pressure(t.Context()); got.Pascal != want {
				t.Errorf("%v: got %d Pa, want %d", e.Pressure, got.Pascal, want)
			}
		})
	}
}

func TestBothAddressesWork(t *testing.T) {
	for _, addr := range []uint16{0x76, 0x77} {
		synctest.Test(t, func(t *testing.T) {
			c := newChip()
			c.addr = addr
			if got := open(t, c).Pressure(t.Context()); !got.OK() {
				t.Errorf("at %#x: got %v", addr, got.Fault)
			}
		})
	}
}

func TestTheChipIsAskedAtMostOnceASecond(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := newChip()
		b := open(t, c)
		first := b.Pressure(t.Context())
		c.change(func() { c.raw -= 5000 })
		<-time.After(900 * time.Millisecond)
		if again := b.Pressure(t.Context()); again != first {
			t.Errorf("after 0.9 s: got %+v, want the same %+v again", again, first)
		}
		if starts, _ := c.counts(); starts != 1 {
			t.Errorf("after 0.9 s: %d measurements, want 1", starts)
		}
		<-time.After(100 * time.Millisecond)
		if later := b.Pressure(t.Context()); later.Pascal <= first.Pascal {
			t.Errorf("after 1 s: got %+v, want more than %+v", later, first)
		}
	})
}

func TestAnImpossiblePressureIsOutOfRange(t *testing.T) {
	for name, raw := range map[string]uint32{"far too high": 0, "far too low": 1<<20 - 1} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				c := newChip()
				c.raw = raw
				if got := open(t, c).Pressure(t.Context()); got != (sensors.Pressure{Fault: sensors.OutOfRange}) {
					t.Errorf("got %+v, want out of range", got)
				}
			})
		})
	}
}

func TestAChipThatIsGoneIsAbsentAndIsFoundAgain(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := newChip()
		b := open(t, c)
		c.change(func() { c.gone = true })
		if got := b.Pressure(t.Context()); got != (sensors.Pressure{Fault: sensors.Absent}) {
			t.Errorf("gone: got %+v, want absent", got)
		}
		c.change(func() { c.gone = false })
		if got := b.Pressure(t.Context()); got.Fault != sensors.Absent {
			t.Errorf("at once: got %+v, want absent until it is looked for", got)
		}
		<-time.After(time.Second)
		if got := b.Pressure(t.Context()); !got.OK() {
			t.Errorf("back: got %v", got.Fault)
		}
	})
}

// A chip that is unplugged for good is looked for after 1, 2, 4, 8, 16, 32 s and
// then once a minute.
func TestAChipThatStaysAwayIsLookedForLessAndLess(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := newChip()
		b := open(t, c)
		c.change(func() { c.gone = true })
		begin := time.Now()
		var at []time.Duration
		_, seen := c.counts()
		for range 200 {
			b.Pressure(t.Context())
			if _, now := c.counts(); now != seen {
				seen, at = now, append(at, time.Since(begin).Round(time.Second))
			}
			<-time.After(time.Second)
		}
		const s = time.Second
		want := []time.Duration{1 * s, 3 * s, 7 * s, 15 * s, 31 * s, 63 * s, 123 * s, 183 * s}
		if len(at) != len(want) {
			t.Fatalf("looked for at %v, want %v", at, want)
		}
		for i := range want {
			if at[i] != want[i] {
				t.Errorf("looked for at %v, want %v", at, want)
			}
		}
	})
}

func TestAChipThatCameBackIsLookedForAtOnceWhenItGoesAgain(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := newChip()
		b := open(t, c)
		for _, step := range []struct {
			gone bool
			wait time.Duration
		}{
			{true, time.Second},
			{true, 2 * time.Second}, // the second failure in a row
			{false, time.Second},
			{true, time.Second},
		} {
			c.change(func() { c.gone = step.gone })
			b.Pressure(t.Context())
			<-time.After(step.wait)
		}
		c.change(func() { c.gone = false })
		if got := b.Pressure(t.Context()); !got.OK() {
			t.Errorf("1 s after it went again: got %v", got.Fault)
		}
	})
}

// All ones in the status register mean "measuring" for ever.
func TestABusThatReadsAllOnesDoesNotHang(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := newChip()
		b := open(t, c)
		c.change(func() { c.ones = true })
		if got := b.Pressure(t.Context()); got.Fault != sensors.Absent {
			t.Errorf("got %+v, want absent", got)
		}
		c.change(func() { c.ones = false })
		<-time.After(time.Second)
		if got := b.Pressure(t.Context()); !got.OK() {
			t.Errorf("mended: got %v", got.Fault)
		}
	})
}

func TestACallerThatLeavesIsNoFaultOfTheChip(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := newChip()
		b := open(t, c)
		ctx, cancel := context.WithCancel(t.Context())
		cancel()
		if got := b.Pressure(ctx); got.Fault != sensors.Absent {
			t.Errorf("after leaving: got %+v, want absent", got)
		}
		if got := b.Pressure(t.Context()); !got.OK() {
			t.Errorf("the next caller: got %v, want a pressure at once", got.Fault)
		}
	})
}

func TestOpenSaysWhatIsWrong(t *testing.T) {
	absent, other := newChip(), newChip()
	absent.gone = true
	other.id = 0x42
	for _, c := range []struct {
		name string
		bus  i2c.Bus
		addr uint16
		want string
	}{
		{"no bus", nil, 0x76, "bus is nil"},
		{"wrong address", newChip(), 0x40, "want 0x76 or 0x77"},
		{"no chip", absent, 0x76, `0x76 on I²C bus "bench": `},
		{"no chip, what to do", absent, 0x76, "i2cdetect"},
		{"another chip", other, 0x76, "unexpected chip id 42"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b, err := barometer.Open(c.bus, c.addr)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got error %v, want %q in it", err, c.want)
			}
			if b != nil {
				t.Error("a barometer came with the error")
			}
		})
	}
}

func TestNoneIsAlwaysNotFitted(t *testing.T) {
	var b sensors.Barometer = barometer.None{}
	if got := b.Pressure(t.Context()); got != (sensors.Pressure{Fault: sensors.NotFitted}) || got.OK() {
		t.Errorf("got %+v, want not fitted", got)
	}
	if err := b.Close(); err != nil {
		t.Error(err)
	}
}
