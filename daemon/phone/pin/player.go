package pin

import (
	"fmt"
	"time"

	"periph.io/x/conn/v3/gpio"

	"bainward/rules/alarm"
)

const (
	// retry is the wait until a pin that failed is tried again.
	retry = time.Second
	// idle is the wait when nothing is to be done.
	idle = time.Hour
)

// player switches one pin. It belongs to one goroutine.
type player struct {
	o      Options
	mark   Mark      // what is being shown
	begun  time.Time // when its pattern began
	proof  *proof    // being played, if any
	proved time.Time // when it began

	known bool // on is what the pin really does
	on    bool
	down  bool // the pin fails, and that was told
}

// play switches the pin as m wants it at this instant, and returns how long that
// is right.
func (p *player) play(m Mark, now time.Time) time.Duration {
	if m != p.mark {
		p.mark, p.begun = m, now
	}
	on, lasts := p.wants(now)
	if err := p.set(on); err != nil {
		p.endProof("", err)
		return min(lasts, retry)
	}
	return lasts
}

// wants says how the pin should be now, and how long.
func (p *player) wants(now time.Time) (on bool, lasts time.Duration) {
	if priority, ok := p.mark.Priority(); ok {
		p.endProof(fmt.Sprintf("an alarm of %s priority is showing on %s", priority, p.o.Pin.Name()), nil)
		if p.o.Steady {
			return true, idle
		}
		return patternOf(priority).at(now.Sub(p.begun))
	}
	if p.proof != nil {
		if on, lasts, over := p.provingAt(now.Sub(p.proved)); !over {
			return on, lasts
		}
		p.endProof(p.played(), nil)
	}
	return false, idle
}

// set switches the pin unless it is so already. A failure is told once, and its
// end too.
func (p *player) set(on bool) error {
	if p.known && p.on == on {
		return nil
	}
	err := p.o.Pin.Out(gpio.Level(on != p.o.Low))
	p.known, p.on = err == nil, on
	if err != nil {
		err = fmt.Errorf("switch %s of channel %q: %w", p.o.Pin.Name(), p.o.Name, err)
	}
	p.tell(err)
	return err
}

func (p *player) tell(err error) {
	if p.down == (err != nil) {
		return
	}
	p.down = err != nil
	if p.down {
		p.o.Logger.Warn("pin shows nothing; trying again", "channel", p.o.Name, "err", err)
	} else {
		p.o.Logger.Info("pin works again", "channel", p.o.Name, "pin", p.o.Pin.Name())
	}
	if p.o.OnError != nil {
		p.o.OnError(err)
	}
}

// proofPattern is what a proof plays: the sign that nobody must miss.
func proofPattern() pattern { return patternOf(alarm.Critical) }
