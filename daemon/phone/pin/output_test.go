package pin_test

import (
	"slices"
	"testing"
	"testing/synctest"
	"time"

	"periph.io/x/conn/v3/gpio"

	"bainward/daemon/phone/pin"
	"bainward/rules/alarm"
)

func expect(t *testing.T, got, want []edge) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("the pin did\n%v\nwant\n%v", got, want)
	}
}

// The edges of each pattern, over a whole round and into the next, are those of
// the table.
func TestPatternsToTheMillisecond(t *testing.T) {
	for p, want := range map[alarm.Priority][]time.Duration{
		alarm.Critical: {0, 140, 340, 480, 680, 820, 1020, 1160, 1360, 1500, 1700, 1840, 2540},
		alarm.High:     {0, 160, 420, 580, 840, 1000, 2800},
		alarm.Medium:   {0, 200, 560, 760, 8000},
		alarm.Low:      {0, 120, 60000},
	} {
		t.Run(p.String(), func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				out := run(t, pin.Options{})
				expect(t, out.seen(), []edge{{0, gpio.Low}}) // off at the start
				out.Show(stands(p))
				time.Sleep(want[len(want)-1] * ms) // in the bubble: exact, and at once
				var edges []edge
				for i, at := range want {
					edges = append(edges, edge{at * ms, i%2 == 0})
				}
				expect(t, out.seen(), edges)
			})
		})
	}
}

// Telling the same each second does not begin the pattern anew.
func TestAPatternGoesOnWhileItsPriorityStays(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		out := run(t, pin.Options{})
		for range 8 {
			out.Show(stands(alarm.Medium))
			out.Show(stands(alarm.Medium).With(alarm.Acknowledged, alarm.High))
			time.Sleep(time.Second)
		}
		if got := len(out.seen()); got != 1+4+1 {
			t.Errorf("%d edges in 8 s of a medium alarm, want off, two strokes, and the next", got)
		}
	})
}

// A graver alarm does not wait for the pause of a lesser one, and the answer
// silences it at once, in the middle of a stroke.
func TestAGraverAlarmTakesOverAndAnAnswerSilences(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		out := run(t, pin.Options{})
		out.Show(stands(alarm.Low))
		time.Sleep(10 * time.Second)
		out.Show(stands(alarm.Critical))
		time.Sleep(400 * ms)
		out.Show(pin.Standing{}.With(alarm.Acknowledged, alarm.Critical))
		time.Sleep(time.Hour)
		expect(t, out.seen(), []edge{
			{0, gpio.Low}, {0, gpio.High}, {120 * ms, gpio.Low},
			{10000 * ms, gpio.High}, {10140 * ms, gpio.Low}, {10340 * ms, gpio.High}, {10400 * ms, gpio.Low},
		})
	})
}

// The pin is off when its run ends, in the middle of a stroke too; an active-low
// one is off when high.
func TestThePinIsOffAtStartAndEnd(t *testing.T) {
	for _, low := range []bool{false, true} {
		synctest.Test(t, func(t *testing.T) {
			off, on := gpio.Level(low), !gpio.Level(low)
			out := run(t, pin.Options{Low: low})
			out.Show(stands(alarm.High))
			time.Sleep(50 * ms)
			out.end()
			expect(t, out.seen(), []edge{{0, off}, {0, on}, {50 * ms, off}})
			if out.Pin.L != off {
				t.Errorf("active low %t: left at %v", low, out.Pin.L)
			}
		})
	}
}

// A buzzer for high alarms leaves medium ones to the lamp; quiet hours silence
// low ones alone.
func TestWhatIsBelowTheLeastOrQuietIsNotShown(t *testing.T) {
	quiet := func(p alarm.Priority) pin.Standing { s := stands(p); s.Quiet = true; return s }
	for _, c := range []struct {
		name  string
		least alarm.Priority
		s     pin.Standing
		shows bool
	}{
		{"medium on a buzzer for high", alarm.High, stands(alarm.Medium), false},
		{"high on a buzzer for high", alarm.High, stands(alarm.High), true},
		{"low on a lamp", alarm.Low, stands(alarm.Low), true},
		{"low when quiet", alarm.Low, quiet(alarm.Low), false},
		{"medium when quiet", alarm.Low, quiet(alarm.Medium), true},
		{"answered", alarm.Low, pin.Standing{}.With(alarm.Acknowledged, alarm.Critical), false},
	} {
		t.Run(c.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				out := run(t, pin.Options{Least: c.least})
				out.Show(c.s)
				time.Sleep(time.Minute)
				if got := len(out.seen()) > 1; got != c.shows {
					t.Errorf("shown: %t, want %t", got, c.shows)
				}
			})
		})
	}
}

// A steady lamp is on while anything stands, answered or not, and a relay is
// switched no oftener than that.
func TestASteadyPinIsOnWhileAnythingStands(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		out := run(t, pin.Options{Steady: true, Least: alarm.High})
		time.Sleep(time.Second)
		out.Show(stands(alarm.High))
		time.Sleep(time.Second)
		out.Show(stands(alarm.High).With(alarm.Acknowledged, alarm.Critical))
		time.Sleep(time.Second)
		out.Show(pin.Standing{}.With(alarm.Acknowledged, alarm.Critical))
		time.Sleep(time.Second)
		out.Show(stands(alarm.Medium))
		time.Sleep(5 * time.Hour)
		expect(t, out.seen(), []edge{{0, gpio.Low}, {time.Second, gpio.High}, {4 * time.Second, gpio.Low}})
	})
}

// What cannot work is refused when it is made.
func TestNewRefusesWhatIsMissing(t *testing.T) {
	for want, o := range map[string]pin.Options{
		"make pin output: Name is missing":         {Pin: newRecorder()},
		`make pin output "buzzer": Pin is missing`: {Name: "buzzer"},
	} {
		if _, err := pin.New(o); err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}
