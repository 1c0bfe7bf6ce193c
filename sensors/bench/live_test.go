package bench

import (
	"sync"
	"testing"
	"time"

	"bainward/sensors"
)

func newLive(t *testing.T, s Script) *Live {
	t.Helper()
	l, err := NewLive(DefaultRig(), s)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func TestALiveBathIsTheOneThatRuns(t *testing.T) {
	s := load(t, "probe-dropout")
	l := newLive(t, s)
	for i, m := range play(t, DefaultRig(), s, time.Second) {
		l.AdvanceTo(m.At)
		if i%17 != 0 {
			continue
		}
		if got := onGrid(l.BathProbe()); m.Probes[sensors.Bath].OK() && got != m.Probes[sensors.Bath] {
			t.Fatalf("at %s the live bath probe has %v, the run %v", m.At, got, m.Probes[sensors.Bath])
		}
		if got := onGrid(l.Oil()); m.Probes[sensors.Oil].OK() && got != m.Probes[sensors.Oil] {
			t.Fatalf("at %s the live oil probe has %v, the run %v", m.At, got, m.Probes[sensors.Oil])
		}
		near(t, "pressure", l.Pressure(), float64(m.Pressure.Pascal), 1)
	}
	if !l.Ended() {
		t.Error("the script has not ended")
	}
}

func TestALiveBathReportsWhatFallsDueOnce(t *testing.T) {
	l := newLive(t, load(t, "probe-dropout"))
	due := l.AdvanceTo(40 * time.Minute)
	if len(due) != 4 || due[0].Events != "fill 1.85 kg; charge" || due[1].Events != "light" || due[2].Events != "turn-down" {
		t.Fatalf("fell due: %+v", due)
	}
	if f := due[3].Fault; f == nil || *f != (ProbeFault{sensors.Oil, sensors.BadCRC}) || due[3].At != 40*time.Minute {
		t.Errorf("the fault came as %+v", due[3])
	}
	if again := l.AdvanceTo(40 * time.Minute); len(again) != 0 {
		t.Errorf("fell due twice: %+v", again)
	}
	if back := l.AdvanceTo(time.Minute); len(back) != 0 || l.Truth().At != 40*time.Minute {
		t.Error("the bath went back in time")
	}
}

func TestAPersonCanPlayTheMaker(t *testing.T) {
	l := newLive(t, load(t, "nominal-0m"))
	l.AdvanceTo(30 * time.Minute)
	before := l.Truth().WaterKg
	if err := l.Do("top-up 0.4 kg"); err != nil {
		t.Fatal(err)
	}
	l.AdvanceTo(31 * time.Minute)
	near(t, "kg more", l.Truth().WaterKg-before, 0.4, 0.02)
	if err := l.Do("dance"); err == nil {
		t.Error("an unknown event was done")
	}
}

// The race detector is the judge.
func TestALiveBathMayBeReadWhileItMoves(t *testing.T) {
	l := newLive(t, load(t, "nominal-0m"))
	var wg sync.WaitGroup
	for _, read := range []func() float64{l.Oil, l.BathProbe, l.Room, l.Pressure} {
		wg.Go(func() {
			for range 200 {
				if v := read(); v < -10 {
					t.Errorf("read %g", v)
				}
			}
		})
	}
	for s := range 200 {
		l.AdvanceTo(time.Duration(s) * time.Second)
	}
	wg.Wait()
}
