package cutout

import (
	"fmt"
	"time"

	"periph.io/x/conn/v3/gpio"
)

// Output switches the heat: Level, Pulse or *Socket.
type Output interface {
	fmt.Stringer
	// drive makes the output right for this instant, and returns when it must be
	// called again at the latest. now is on a clock that never goes back.
	drive(allow bool, now time.Duration) (again time.Duration, err error)
}

const (
	// idle is the wait of an output that has nothing to do by itself.
	idle = time.Hour
	// retry is the wait after an output failed.
	retry = 500 * time.Millisecond
	// half of the square wave of Pulse.
	half = 500 * time.Millisecond
)

// level is a pin that is high while the heat is allowed.
//
// There is no active-low form on purpose: the pins GPIO9 to GPIO27 of a Pi are
// pulled down from power-on until somebody drives them (BCM2835 ARM Peripherals,
// table 6-31; from memory), and the driver makes an output low before it gives it
// a level. Low must therefore be off.
type level struct {
	pin   gpio.PinOut
	known bool
	high  bool
}

// Level is a pin that is high while the heat is allowed, and low otherwise. It
// says nothing when the daemon is killed or hangs in the kernel: the pin may then
// stay as it is. Prefer Pulse where the relay board can do it.
func Level(pin gpio.PinOut) Output { return &level{pin: pin} }

func (l *level) String() string { return fmt.Sprintf("pin %s (level)", l.pin.Name()) }

func (l *level) drive(allow bool, _ time.Duration) (time.Duration, error) {
	return idle, l.set(allow)
}

func (l *level) set(high bool) error {
	if l.known && l.high == high {
		return nil
	}
	l.known = false // also if the driver panics
	err := l.pin.Out(gpio.Level(high))
	l.known, l.high = err == nil, high
	if err != nil {
		return fmt.Errorf("switch %s: %w", l.pin.Name(), err)
	}
	return nil
}

// pulse is a pin that goes up and down while the heat is allowed.
type pulse struct {
	level
	allowed bool
	begun   time.Duration
}

// Pulse is a pin with a square wave of 1 Hz while the heat is allowed, and low
// otherwise. A board that holds its relay only while the wave goes on (a
// retriggerable monostable of 1.5 to 3 s, or a charge pump) lets go when the
// daemon is killed or hangs, whatever level the pin is left at.
func Pulse(pin gpio.PinOut) Output { return &pulse{level: level{pin: pin}} }

func (p *pulse) String() string { return fmt.Sprintf("pin %s (pulse)", p.pin.Name()) }

func (p *pulse) drive(allow bool, now time.Duration) (time.Duration, error) {
	if allow && !p.allowed {
		p.begun = now
	}
	p.allowed = allow
	if !allow {
		return idle, p.set(false)
	}
	in := (now - p.begun) % (2 * half)
	return half - in%half, p.set(in < half)
}
