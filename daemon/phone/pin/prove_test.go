package pin_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"periph.io/x/conn/v3/gpio"

	"bainward/daemon/phone/pin"
	"bainward/rules/alarm"
)

// A proof is the sign for critical alarms, once, and an honest answer.
func TestAProofPlaysThePatternOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		out := run(t, pin.Options{Least: alarm.High})
		answer, err := out.Prove(t.Context())
		if err != nil || answer != "GPIO17 was on 6 times; only you can say whether it was seen or heard" {
			t.Errorf("answer %q, error %v", answer, err)
		}
		time.Sleep(time.Minute)
		want := []edge{{0, gpio.Low}}
		for i := range 6 {
			begins := time.Duration(i) * 340 * ms
			want = append(want, edge{begins, gpio.High}, edge{begins + 140*ms, gpio.Low})
		}
		expect(t, out.seen(), want)
	})
}

// A lamp or relay is on for two seconds.
func TestAProofOfASteadyPinIsOneSpanOfLight(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		out := run(t, pin.Options{Steady: true})
		answer, err := out.Prove(t.Context())
		if err != nil || !strings.HasPrefix(answer, "GPIO17 was on for 2s;") {
			t.Errorf("answer %q, error %v", answer, err)
		}
		expect(t, out.seen(), []edge{{0, gpio.Low}, {0, gpio.High}, {2 * time.Second, gpio.Low}})
	})
}

// Nobody may take a real alarm for a proof: an alarm comes first, before and
// during one.
func TestAnAlarmComesBeforeAProof(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		const want = "an alarm of medium priority is showing on GPIO17"
		out := run(t, pin.Options{})
		time.AfterFunc(time.Second, func() { out.Show(stands(alarm.Medium)) })
		for _, when := range []string{"during", "before"} {
			if answer, err := out.Prove(t.Context()); err != nil || answer != want {
				t.Errorf("%s: answer %q, error %v", when, answer, err)
			}
		}
		if took := time.Since(out.start); took != time.Second {
			t.Errorf("the alarm took the pin after %v", took)
		}
		time.Sleep(4 * time.Second)
		seen := out.seen()
		if last := seen[len(seen)-1]; last != (edge{1760 * ms, gpio.Low}) {
			t.Errorf("the medium pattern was disturbed: %v", seen)
		}
	})
}

// A proof tells what the pin said, and ends when its caller or the daemon does.
func TestAProofThatCannotBePlayedSaysWhy(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		out := run(t, pin.Options{})
		out.fails(errBus)
		if answer, err := out.Prove(t.Context()); !errors.Is(err, errBus) || answer != "" {
			t.Errorf("answer %q, error %v", answer, err)
		}
		out.fails(nil)
		time.Sleep(time.Second)

		ctx, cancel := context.WithTimeout(t.Context(), 500*ms)
		defer cancel()
		if _, err := out.Prove(ctx); !errors.Is(err, context.DeadlineExceeded) {
			t.Errorf("its caller went away: %v", err)
		}
		time.AfterFunc(100*ms, out.end)
		if _, err := out.Prove(t.Context()); err == nil || !strings.Contains(err.Error(), "the daemon is ending") {
			t.Errorf("the daemon ended during it: %v", err)
		}
		if _, err := out.Prove(t.Context()); err == nil || !strings.Contains(err.Error(), "the daemon is ending") {
			t.Errorf("the daemon ended before it: %v", err)
		}
	})
}
