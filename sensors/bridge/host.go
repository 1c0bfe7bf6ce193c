package bridge

import (
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"periph.io/x/conn/v3/i2c"
	"periph.io/x/conn/v3/physic"
	"periph.io/x/host/v3/sysfs"
)

// devices is where Linux's i2c-dev shows the buses.
const devices = "/dev/i2c-"

// OpenHost opens an I²C bus of this machine and the bridge on it. The name is
// one of "I2C1", "/dev/i2c-1" and "1"; empty means the bus with the lowest
// number. addr may be zero for DefaultAddr. Bus and Addr of o are not used.
// Close closes the bus.
//
// It goes past periph's registry: filling that would map the processor's
// registers, which needs rights that a daemon should not have, and would not
// see a bus that appears later.
func OpenHost(busName string, addr uint16, o Options) (*Wire, error) {
	bus, err := OpenBus(busName)
	if err != nil {
		return nil, err
	}
	o.Bus, o.Addr = bus, addr
	w, err := Open(o)
	if err != nil {
		bus.Close()
		return nil, err
	}
	w.closer = bus
	// Linux rarely lets a program choose; dtparam decides, then.
	if err := bus.SetSpeed(400 * physic.KiloHertz); err != nil {
		w.o.Logger.Debug("I²C bus keeps its speed", "bus", bus.String(), "error", err)
	}
	return w, nil
}

// busNumbers returns the numbers of this machine's buses, lowest first.
func busNumbers() []int {
	paths, _ := filepath.Glob(devices + "*") // the pattern is well formed
	var numbers []int
	for _, p := range paths {
		if n, err := strconv.Atoi(strings.TrimPrefix(p, devices)); err == nil {
			numbers = append(numbers, n)
		}
	}
	slices.Sort(numbers)
	return numbers
}

// busNumber returns the number of the bus that is meant, among those present.
func busNumber(name string, present []int) (int, error) {
	if len(present) == 0 {
		return 0, fmt.Errorf("open I²C bus %q: no I²C bus on this machine: enable it with dtparam=i2c_arm=on in /boot/firmware/config.txt, load the module i2c-dev, and restart", name)
	}
	if name == "" {
		return present[0], nil
	}
	n, err := strconv.Atoi(strings.TrimPrefix(strings.TrimPrefix(name, devices), "I2C"))
	if err != nil {
		return 0, fmt.Errorf("open I²C bus %q: want a name such as I2C1, /dev/i2c-1 or 1", name)
	}
	if !slices.Contains(present, n) {
		return 0, fmt.Errorf("open I²C bus %q: not on this machine, which has the numbers %v", name, present)
	}
	return n, nil
}

// OpenBus opens a Linux I²C bus by name or number, as OpenHost does, for
// another chip on it, such as a barometer. The caller closes it.
func OpenBus(name string) (i2c.BusCloser, error) {
	number, err := busNumber(name, busNumbers())
	if err != nil {
		return nil, err
	}
	bus, err := sysfs.NewI2C(number)
	if err != nil {
		return nil, fmt.Errorf("open I²C bus %q: %w; the user must be in the group i2c", name, err)
	}
	return bus, nil
}
