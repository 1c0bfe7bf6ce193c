package cutout_test

import (
	"context"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"periph.io/x/conn/v3/gpio"

	"bainward/daemon/cutout"
	"bainward/rules"
	"bainward/rules/alarm"
)

// A level pin is low before the first poll, high while all is well, low at the
// trip and after it, high again only after a person said so, and low at the end.
func TestALevelPinFollowsTheVerdict(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := newRecorder()
		c, end := run(t, cutout.Options{Output: cutout.Level(r)})
		time.Sleep(time.Second)
		c.Poll(good)
		time.Sleep(time.Second)
		c.Poll(dry)
		time.Sleep(time.Second)
		c.Poll(good)
		time.Sleep(time.Second)
		if err := c.Reset("Sorrel"); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Second)
		end()
		r.expect(t, "0s Low", "1s High", "2s Low", "4s High", "5s Low")
		if c.Poll(good).Allow {
			t.Error("a poll after the end allows the heat")
		}
	})
}

// Ten seconds after the last poll the heat is off, though nobody asks; the next
// poll gives it back, for nothing had cut it.
func TestTheHeatGoesWhenThePollsStop(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := newRecorder()
		c, _ := run(t, cutout.Options{Output: cutout.Level(r)})
		c.Poll(good)
		time.Sleep(8 * time.Second)
		c.Poll(good)
		time.Sleep(time.Minute)
		c.Poll(good)
		r.expect(t, "0s Low", "0s High", "18s Low", "1m8s High")
	})
}

// The pulse is a square wave of 1 Hz from the first poll on, and stops low at the
// trip and when the polls stop.
func TestAPulseStopsWithThePermission(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := newRecorder()
		c, _ := run(t, cutout.Options{Output: cutout.Pulse(r)})
		time.Sleep(1234 * ms)
		c.Poll(good)
		time.Sleep(2100 * ms)
		c.Poll(dry)
		time.Sleep(time.Hour)
		r.expect(t, "0s Low", "1.234s High", "1.734s Low", "2.234s High", "2.734s Low", "3.234s High", "3.334s Low")
	})
	synctest.Test(t, func(t *testing.T) {
		r := newRecorder()
		c, _ := run(t, cutout.Options{Output: cutout.Pulse(r)})
		c.Poll(good)
		time.Sleep(time.Hour)
		synctest.Wait()
		if got := len(r.said); got != 1+20 || r.said[20] != "9.5s Low" {
			t.Errorf("%d edges after one poll, want the first low and 20 in ten seconds: %v", got, r.said)
		}
	})
}

// What cut the heat is not forgotten over a restart of the daemon.
func TestARestartIsNoReset(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := newRecorder()
		c, end := run(t, cutout.Options{Output: cutout.Level(r)})
		c.Poll(cutout.Poll{Seen: true, Hot: alarm.Unacknowledged})
		end()
		changes := c.Changes()
		was := changes[0].Trip
		if was != (cutout.Trip{Set: true, Alarm: rules.Overheating}) || c.Tripped() != was {
			t.Fatalf("to be recorded: %+v", changes)
		}
		c, _ = run(t, cutout.Options{Output: cutout.Level(r), Was: was})
		c.Poll(good)
		time.Sleep(time.Second)
		r.expect(t, "0s Low", "0s Low") // at the start of each
		if err := c.Reset("Robin"); err != nil {
			t.Fatal(err)
		}
		r.expect(t, "1s High")
	})
}

// A panic below Run leaves the heat off.
func TestAPanicLeavesTheHeatOff(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := &panicking{recorder: newRecorder()}
		c, err := cutout.New(cutout.Options{Bath: "north", Output: cutout.Pulse(p)})
		if err != nil {
			t.Fatal(err)
		}
		caught := make(chan any, 1)
		go func() {
			defer func() { caught <- recover() }()
			c.Run(t.Context())
		}()
		c.Poll(good)
		if got := <-caught; got != "the third edge" {
			t.Errorf("caught %v", got)
		}
		if p.Pin.L != gpio.Low || c.Verdict().Allow {
			t.Errorf("after a panic the pin is %v, allowed %t", p.Pin.L, c.Verdict().Allow)
		}
	})
}

// panicking is a pin whose driver panics once, when it was switched on.
type panicking struct {
	*recorder
	edges int
}

func (p *panicking) Out(l gpio.Level) error {
	if p.edges++; p.edges == 3 {
		_ = p.recorder.Out(gpio.High)
		panic("the third edge")
	}
	return p.recorder.Out(l)
}

// A pin that cannot be switched is tried twice a second; the fault says so once,
// and again when it begins to keep the heat from being cut.
func TestAFaultOfTheOutputIsTriedAgainAndTold(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := newRecorder()
		c, _ := run(t, cutout.Options{Output: cutout.Level(r)})
		if err := c.Fault(); err != nil {
			t.Fatalf("a fault without cause: %v", err)
		}
		r.fails(errBus)
		c.Poll(good)
		synctest.Wait()
		first := c.Fault()
		if first == nil || first.Error() != `allow the heat of "north" by pin GPIO27 (level): switch GPIO27: bus is gone (the cut-out is no substitute for a safety device)` {
			t.Errorf("cannot allow: %v", first)
		}
		time.Sleep(2 * time.Second)
		if again := c.Fault(); again != first {
			t.Errorf("the same outage is told anew: %v", again)
		}
		c.Poll(dry)
		synctest.Wait()
		if err := c.Fault(); err == nil || !strings.Contains(err.Error(), `cut the heat of "north"`) || !strings.Contains(err.Error(), "turn it off by hand") {
			t.Errorf("cannot cut: %v", err)
		}
		r.fails(nil)
		time.Sleep(500 * ms)
		r.expect(t, "0s Low", "2.5s Low")
		if err := c.Fault(); err != nil {
			t.Errorf("mended, and still %v", err)
		}
	})
}

// Changes come in order, once, with cause and person, and without flooding who
// does not ask.
func TestChangesTellTheStory(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c, _ := run(t, cutout.Options{Output: cutout.Level(newRecorder())})
		c.Poll(good)
		c.Poll(good)
		c.Poll(dry)
		c.Poll(good)
		if err := c.Reset(""); err == nil || err.Error() != `reset the cut-out of "north": say who resets it (the cut-out is no substitute for a safety device)` {
			t.Errorf("nobody resets it: %v", err)
		}
		if err := c.Reset("Robin"); err != nil {
			t.Fatal(err)
		}
		const caution = " (the cut-out is no substitute for a safety device)"
		want := []string{
			"north: heat allowed: the bath is read, and is neither dry nor too hot" + caution,
			"north: heat off: boiling-dry cut it; it stays off until somebody resets the cut-out" + caution,
			"north, reset by Robin: heat allowed: the bath is read, and is neither dry nor too hot" + caution,
		}
		changes := c.Changes()
		for i := range max(len(want), len(changes)) {
			if i >= len(want) || i >= len(changes) || changes[i].String() != want[i] {
				t.Fatalf("changes are\n%v\nwant\n%s", changes, strings.Join(want, "\n"))
			}
		}
		if again := c.Changes(); len(again) != 0 {
			t.Errorf("told twice: %v", again)
		}
		hidden := cutout.Poll{Seen: true, Dry: alarm.Shelved}
		for range 100 {
			c.Poll(hidden)
			c.Poll(good)
		}
		kept := c.Changes()
		if len(kept) != 64 || !kept[63].Allow {
			t.Errorf("of 200 changes %d are kept, the last of them %v", len(kept), kept[len(kept)-1])
		}
	})
}

// What cannot work is refused when it is made.
func TestNewRefusesWhatIsMissing(t *testing.T) {
	for want, o := range map[string]cutout.Options{
		"make cut-out: Bath is missing":              {Output: cutout.Level(newRecorder())},
		`make cut-out of "north": Output is missing`: {Bath: "north"},
	} {
		if _, err := cutout.New(o); err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}

// A daemon that is told to end before it began leaves the heat off.
func TestAContextThatEndedLeavesThePinOff(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := newRecorder()
		c, err := cutout.New(cutout.Options{Bath: "north", Output: cutout.Pulse(r)})
		if err != nil {
			t.Fatal(err)
		}
		c.Poll(good)
		ctx, cancel := context.WithCancel(t.Context())
		cancel()
		c.Run(ctx)
		if last := r.said[len(r.said)-1]; last != "0s Low" {
			t.Errorf("the pin did %v", r.said)
		}
	})
}
