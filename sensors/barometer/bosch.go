package barometer

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"periph.io/x/conn/v3/i2c"
	"periph.io/x/conn/v3/physic"
	"periph.io/x/devices/v3/bmxx80"

	"bainward/sensors"
)

// The range in which the chip works is 300 to 1100 hPa (data sheet
// BST-BMP280-DS001); no weather or inhabited height is outside it.
const (
	lowest  = 30 * physic.KiloPascal
	highest = 110 * physic.KiloPascal
)

const (
	every       = time.Second // the shortest time between two measurements
	longestWait = time.Minute // between two tries to reach a chip that is gone
)

// bosch is a BMP280 or BME280. It may be used from several goroutines.
type bosch struct {
	bus  patientBus
	addr uint16

	mu   sync.Mutex
	dev  *bmxx80.Dev // nil while the chip does not answer
	last sensors.Pressure
	due  time.Time     // when to measure again; last holds until then
	wait time.Duration // the wait after the next failure
}

// Open finds a BMP280 or BME280 at addr, 0x76 or 0x77, and returns a barometer.
// A chip that does not answer is an error here. If it stops answering later its
// pressure is Absent, and it is looked for again after 1 s, 2 s and so on up to
// a minute. A pressure outside 30…110 kPa is OutOfRange.
//
// The barometer does not close the bus.
func Open(bus i2c.Bus, addr uint16) (sensors.Barometer, error) {
	if bus == nil {
		return nil, errors.New("open barometer: the I²C bus is nil")
	}
	if addr != 0x76 && addr != 0x77 {
		return nil, fmt.Errorf("open barometer: I²C address is %#x, want 0x76 or 0x77", addr)
	}
	b := &bosch{bus: patientBus{Bus: bus}, addr: addr, wait: every}
	b.bus.begin(context.Background())
	if err := b.connect(); err != nil {
		return nil, fmt.Errorf("open barometer at %#x on I²C bus %q: %w; check its supply, SDA and SCL, and its address with i2cdetect", addr, bus.String(), err)
	}
	return b, nil
}

// Pressure measures, or returns the last answer if that is less than a second
// old. It takes about 10 ms, and gives up when ctx ends.
func (b *bosch) Pressure(ctx context.Context) sensors.Pressure {
	b.mu.Lock()
	defer b.mu.Unlock()
	if time.Now().Before(b.due) {
		return b.last
	}
	pascal, err := b.measure(ctx)
	switch {
	case err != nil && ctx.Err() != nil:
		// The caller left; that says nothing of the chip.
		return sensors.Pressure{Fault: sensors.Absent}
	case err != nil:
		b.last = sensors.Pressure{Fault: sensors.Absent}
		b.dev = nil // a chip that restarted has forgotten how it was set
		b.due = time.Now().Add(b.wait)
		b.wait = min(2*b.wait, longestWait)
		return b.last
	}
	b.last = judge(pascal)
	b.due = time.Now().Add(every)
	b.wait = every
	return b.last
}

// Close has nothing to let go of: the chip sleeps between measurements.
func (b *bosch) Close() error { return nil }

// measure makes one measurement, after looking for the chip if it was gone.
func (b *bosch) measure(ctx context.Context) (physic.Pressure, error) {
	b.bus.begin(ctx)
	if b.dev == nil {
		if err := b.connect(); err != nil {
			return 0, err
		}
	}
	var e physic.Env
	err := b.dev.Sense(&e)
	return e.Pressure, err
}

// connect finds the chip and reads its calibration.
func (b *bosch) connect() error {
	// The data sheet's setting for watching the weather: 3.3 Pa of noise, which
	// is 0.001 °C of boiling point.
	settings := bmxx80.Opts{Temperature: bmxx80.O1x, Pressure: bmxx80.O1x}
	dev, err := bmxx80.NewI2C(&b.bus, b.addr, &settings)
	if err != nil {
		return err
	}
	b.dev = dev
	return nil
}

// judge rounds to whole pascals and refuses what cannot be.
func judge(p physic.Pressure) sensors.Pressure {
	if p < lowest || p > highest {
		return sensors.Pressure{Fault: sensors.OutOfRange}
	}
	return sensors.Pressure{Pascal: int32((p + physic.Pascal/2) / physic.Pascal)}
}
