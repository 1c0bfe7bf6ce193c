package pin

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"periph.io/x/conn/v3/gpio"
	"periph.io/x/conn/v3/gpio/gpioreg"
	"periph.io/x/conn/v3/gpio/gpiotest"
)

// pi is a machine with one GPIO chip and these pins.
func pi(t *testing.T, names ...string) machine {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "gpiochip0"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for i, name := range names {
		if err := gpioreg.Register(&gpiotest.Pin{N: name, Num: i}); err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = gpioreg.Unregister(name) })
	}
	return machine{chips: filepath.Join(dir, "gpiochip*"), try: openOnce, load: func() error { return nil }}
}

// A pin that is there is found by its name.
func TestOpenFindsAPin(t *testing.T) {
	p, err := pi(t, "GPIO17", "GPIO27").open("GPIO27")
	if err != nil || p.Name() != "GPIO27" {
		t.Fatalf("got %v, %v", p, err)
	}
	if err := p.Out(gpio.High); err != nil || gpioreg.ByName("GPIO27").Read() != gpio.High {
		t.Errorf("the pin was not switched: %v", err)
	}
}

// Each way in which a pin can be missing has its own advice.
func TestOpenSaysWhatToDo(t *testing.T) {
	refused := pi(t)
	refused.try = func(path string) error {
		return &fs.PathError{Op: "open", Path: filepath.Base(path), Err: fs.ErrPermission}
	}
	deaf := pi(t)
	deaf.load = func() error {
		return errors.New("look for pins: the kernel's GPIO chips do not answer; the log says why")
	}
	for _, c := range []struct {
		name string
		on   machine
		want []string
	}{
		{"no Pi", machine{chips: "/nowhere/gpiochip*", try: openOnce},
			[]string{`open pin "GPIO99": there is no /nowhere/gpiochip*`, "take the pin out of the site file"}},
		{"not allowed", refused,
			[]string{`open pin "GPIO99": open gpiochip0: permission denied`, "group gpio", "DeviceAllow=char-gpiochip"}},
		{"chip does not answer", deaf, []string{`open pin "GPIO99": look for pins:`}},
		{"no such pin", pi(t, "GPIO5", "PWR_LED", "GPIO17"),
			[]string{`open pin "GPIO99": this machine has no pin of that name; it has GPIO5, GPIO17, PWR_LED`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := c.on.open("GPIO99")
			for _, want := range c.want {
				if err == nil || !strings.Contains(err.Error(), want) {
					t.Errorf("got %v, want %q in it", err, want)
				}
			}
		})
	}
}

// A board with more pins than a line holds names some and counts the rest.
func TestOpenListsNotMoreThanALine(t *testing.T) {
	var pins []gpio.PinIO
	for i := range 30 {
		pins = append(pins, &gpiotest.Pin{N: "LINE", Num: i})
	}
	if got := some(pins); strings.Count(got, "LINE") != 12 || !strings.HasSuffix(got, "and 18 others") {
		t.Errorf("got %s", got)
	}
	if got := some(nil); got != "none" {
		t.Errorf("no pins are %q", got)
	}
}

// busy is a pin that another program holds, until it is asked for anew.
type busy struct {
	gpiotest.Pin
	closed int
}

func (b *busy) Out(gpio.Level) error { return errors.New("device or resource busy") }
func (b *busy) Close()               { b.closed++ }

// The driver remembers a line it never got; so the pin is let go after an error.
func TestAPinIsAskedForAnewAfterAnError(t *testing.T) {
	b := &busy{}
	if err := (line{b}).Out(gpio.High); err == nil || b.closed != 1 {
		t.Errorf("error %v, closed %d times", err, b.closed)
	}
}
