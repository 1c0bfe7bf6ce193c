package pin_test

import (
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"periph.io/x/conn/v3/gpio"

	"bainward/daemon/phone/pin"
	"bainward/rules/alarm"
)

// A pin that fails for minutes is told once, tried again, and takes up its
// pattern where it would be; that it works again is told once too.
func TestAnOutageIsToldOnceAndTriedAgain(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var told []error
		out := run(t, pin.Options{OnError: func(err error) { told = append(told, err) }})
		out.fails(errBus)
		out.Show(stands(alarm.High))
		time.Sleep(10 * 2800 * ms)
		synctest.Wait()
		if len(told) != 1 || told[0].Error() != `switch GPIO17 of channel "buzzer": bus is gone` {
			t.Fatalf("told %v", told)
		}
		if out.tries < 30 {
			t.Errorf("tried only %d times in 28 s", out.tries)
		}
		out.seen()
		out.fails(nil)
		time.Sleep(420 * ms)
		seen := out.seen()
		if last := seen[len(seen)-1]; last != (edge{10*2800*ms + 420*ms, gpio.High}) {
			t.Errorf("after the outage the pin did %v", seen)
		}
		if len(told) != 2 || told[1] != nil {
			t.Errorf("told %v, want that it works again", told)
		}
	})
}

// A stroke whose end failed must not sound on until the next one, a minute later.
func TestAPinThatFailsWhileOnIsSwitchedOffSoon(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		out := run(t, pin.Options{})
		out.Show(stands(alarm.Low))
		time.Sleep(100 * ms)
		out.fails(errBus)
		time.Sleep(500 * ms)
		out.fails(nil)
		out.seen()
		time.Sleep(time.Second)
		expect(t, out.seen(), []edge{{1120 * ms, gpio.Low}})
	})
}

// A pin whose driver hangs delays nobody who tells it something.
func TestAHangingPinDelaysNobody(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := newRecorder()
		r.stuck = make(chan struct{})
		out := run(t, pin.Options{Pin: r})
		begun := time.Now()
		for range 100 {
			out.Show(stands(alarm.Critical))
			out.Show(pin.Standing{})
		}
		if waited := time.Since(begun); waited != 0 {
			t.Errorf("Show waited %v", waited)
		}
		close(r.stuck)
		if seen := r.seen(); len(seen) == 0 || strings.Contains(seen[len(seen)-1].String(), "High") {
			t.Errorf("after the hang the pin did %v, want off", seen)
		}
	})
}
