package pin

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"periph.io/x/conn/v3/driver/driverreg"
	"periph.io/x/conn/v3/gpio"
	"periph.io/x/conn/v3/gpio/gpioreg"
	"periph.io/x/host/v3/gpioioctl"
)

// Open finds the pin of this machine that is called name, such as "GPIO17", for
// an output. It is not switched yet.
//
// It goes through the kernel's character devices /dev/gpiochip* alone, which any
// Raspberry Pi has, the 5 included, and a member of the group gpio may open.
// Periph's other drivers would map the processor's registers.
func Open(name string) (gpio.PinOut, error) {
	return machine{chips: "/dev/gpiochip*", try: openOnce, load: load}.open(name)
}

// machine is where pins are looked for.
type machine struct {
	chips string                  // glob of the chips' devices
	try   func(path string) error // whether a chip may be opened
	load  func() error            // fills periph's registry
}

func (m machine) open(name string) (gpio.PinOut, error) {
	if err := m.usable(); err != nil {
		return nil, fmt.Errorf("open pin %q: %w", name, err)
	}
	p := gpioreg.ByName(name)
	if p == nil {
		return nil, fmt.Errorf("open pin %q: this machine has no pin of that name; it has %s", name, some(gpioreg.All()))
	}
	return line{p}, nil
}

// usable returns an error that says what to do if this machine's pins cannot be
// used.
func (m machine) usable() error {
	paths, err := filepath.Glob(m.chips)
	if err != nil {
		return err
	}
	if len(paths) == 0 {
		return fmt.Errorf("there is no %s: this is no Raspberry Pi, or its kernel shows no pins; "+
			"run the daemon on the Pi that is wired, or take the pin out of the site file", m.chips)
	}
	// The driver only logs what it may not open, and is asked once in the life of
	// a process; so look first.
	var refused error
	for _, path := range paths {
		if err := m.try(path); err == nil {
			return m.load()
		} else if refused == nil {
			refused = err
		}
	}
	if errors.Is(refused, fs.ErrPermission) {
		return fmt.Errorf("%w: let the daemon's user into the group gpio, and its unit have "+
			"SupplementaryGroups=gpio and DeviceAllow=char-gpiochip rw (deploy/outputs.md)", refused)
	}
	return refused
}

func openOnce(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	return f.Close()
}

func load() error {
	if _, err := driverreg.Init(); err != nil {
		return fmt.Errorf("look for pins: %w", err)
	}
	if len(gpioioctl.Chips) == 0 {
		return errors.New("look for pins: the kernel's GPIO chips do not answer; the log says why")
	}
	return nil
}

// some lists a few pins, those first that a site file may name.
func some(pins []gpio.PinIO) string {
	const few = 12
	var names []string
	for _, wanted := range [...]bool{true, false} {
		for _, p := range pins {
			if strings.HasPrefix(p.Name(), "GPIO") == wanted && len(names) < few {
				names = append(names, p.Name())
			}
		}
	}
	switch {
	case len(names) == 0:
		return "none"
	case len(pins) > few:
		return fmt.Sprintf("%s and %d others", strings.Join(names, ", "), len(pins)-few)
	}
	return strings.Join(names, ", ")
}

// line is a pin that is asked for anew after an error. The driver takes note that
// a line is an output before the kernel grants it, and would then go on with a
// line it never got (host/v3 v3.8.5, gpioioctl, GPIOLine.setOut).
type line struct{ gpio.PinOut }

// Out switches the pin.
func (l line) Out(level gpio.Level) error {
	err := l.PinOut.Out(level)
	if err == nil {
		return nil
	}
	if c, ok := l.PinOut.(interface{ Close() }); ok {
		c.Close()
	}
	return err
}
