package w1_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"bainward/sensors"
)

const (
	first  = "w1_bus_master1"
	second = "w1_bus_master2"
)

// many returns n addresses.
func many(n int) []sensors.Address {
	addresses := make([]sensors.Address, n)
	for i := range addresses {
		addresses[i] = sensors.NewAddress(sensors.FamilyDS18B20, 0x0B000000+uint64(i))
	}
	return addresses
}

// poll reads with a deadline and returns how long it took.
func (r *rig) poll(deadline time.Duration, addresses ...sensors.Address) ([]sensors.Sample, time.Duration, error) {
	ctx, cancel := context.WithTimeout(r.t.Context(), deadline)
	defer cancel()
	begin := time.Now()
	samples, err := r.wire.Read(ctx, addresses)
	return samples, time.Since(begin), err
}

func wantAllGood(t *testing.T, samples []sensors.Sample) {
	t.Helper()
	for _, s := range samples {
		wantReading(t, s.Address.String(), s.Reading, sensors.AtCelsius(27.5))
	}
}

func TestTwentyProbesCostOneConversionWithTheBulkFile(t *testing.T) {
	for _, parasite := range []bool{false, true} {
		synctest.Test(t, func(t *testing.T) {
			r, k, addresses := newRig(t).open(), &kernel{bulk: true, parasite: parasite}, many(20)
			k.install(r, first, addresses...)
			samples, took, err := r.poll(5*time.Second, addresses...)
			if err != nil {
				t.Fatal(err)
			}
			wantAllGood(t, samples)
			if want := conversion + 20*reading; took != want {
				t.Errorf("parasite %v: took %v, want %v", parasite, took, want)
			}
			if n, _ := k.counts(); n != 1 {
				t.Errorf("parasite %v: %d conversions, want 1", parasite, n)
			}
		})
	}
}

func TestWithoutTheBulkFileConversionsOverlapIfTheProbesHaveASupply(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, k, addresses := newRig(t).open(), &kernel{}, many(20)
		k.install(r, first, addresses...)
		samples, took, err := r.poll(5*time.Second, addresses...)
		if err != nil {
			t.Fatal(err)
		}
		wantAllGood(t, samples)
		if most := conversion + 20*(command+reading); took > most {
			t.Errorf("took %v, want %v at most", took, most)
		}
	})
}

func TestWithoutTheBulkFileEachParasiteProbeCostsAConversion(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, k, addresses := newRig(t).open(), &kernel{parasite: true}, many(4)
		k.install(r, first, addresses...)
		samples, took, err := r.poll(5*time.Second, addresses...)
		if err != nil {
			t.Fatal(err)
		}
		wantAllGood(t, samples)
		if want := 4 * (command + conversion + reading); took != want {
			t.Errorf("took %v, want %v", took, want)
		}
	})
}

// Those that do not fit into one poll are answered in the next: a read that was
// left behind is waited for, not begun anew.
func TestProbesTooManyForOnePollTakeTurns(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, k, addresses := newRig(t).open(), &kernel{parasite: true}, many(4)
		k.install(r, first, addresses...)
		answered := map[sensors.Address]bool{}
		for range 4 {
			samples, _, _ := r.poll(time.Second, addresses...)
			for _, s := range samples {
				answered[s.Address] = answered[s.Address] || s.Reading.OK()
			}
		}
		if len(answered) != 4 {
			t.Fatal("a probe has no sample")
		}
		for a, ok := range answered {
			if !ok {
				t.Errorf("%v was not read in four polls", a)
			}
		}
		<-time.After(time.Minute) // what is outstanding ends
	})
}

func TestLinesConvertAtTheSameTime(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, k := newRig(t).open(), &kernel{bulk: true}
		k.install(r, first, oil)
		k.install(r, second, bath)
		samples, took, err := r.poll(5*time.Second, oil, bath)
		if err != nil {
			t.Fatal(err)
		}
		wantAllGood(t, samples)
		if want := conversion + reading; took != want {
			t.Errorf("took %v, want %v", took, want)
		}
	})
}

func TestALineWithoutProbesAskedForIsLeftInPeace(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, k := newRig(t).open(), &kernel{bulk: true}
		k.install(r, first, oil)
		k.install(r, second, bath)
		r.poll(5*time.Second, oil)
		if n, _ := k.counts(); n != 1 {
			t.Errorf("%d conversions, want 1", n)
		}
	})
}

func TestABulkConversionIsWaitedForUntilTheFileSaysSo(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, k := newRig(t).open(), &kernel{bulk: true, lazy: 600 * time.Millisecond}
		k.install(r, first, oil)
		samples, took, err := r.poll(5*time.Second, oil)
		if err != nil {
			t.Fatal(err)
		}
		wantAllGood(t, samples)
		if took < 600*time.Millisecond || took > 650*time.Millisecond {
			t.Errorf("took %v, want a little over 600 ms", took)
		}
	})
}

func TestABulkConversionThatNeverEndsIsGivenUp(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, k := newRig(t).open(), &kernel{bulk: true, lazy: time.Hour}
		k.install(r, first, oil)
		samples, took, err := r.poll(5*time.Second, oil)
		if err != nil || samples[0].Reading.Fault != sensors.Absent {
			t.Errorf("got %v (%v), want absent: the kernel's file is empty", samples[0].Reading.Fault, err)
		}
		if took < 2*time.Second || took > 2100*time.Millisecond {
			t.Errorf("took %v, want 2 s", took)
		}
		if !strings.Contains(r.log.String(), "still converting") {
			t.Errorf("log %q does not say why", &r.log)
		}
	})
}

func TestAProbeWhoseFileHangsIsAbsentAndTheOthersAreRead(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, k := newRig(t).open(), &kernel{bulk: true}
		k.install(r, first, oil, bath)
		release := k.hang(oil.String())
		for range 5 {
			samples, took, err := r.poll(time.Second, oil, bath)
			if err != nil {
				t.Fatal(err)
			}
			wantReading(t, "hanging", samples[0].Reading, sensors.Failed(sensors.Absent))
			wantReading(t, "other", samples[1].Reading, sensors.AtCelsius(27.5))
			if took != time.Second {
				t.Errorf("took %v, want the whole second that it was given", took)
			}
		}
		if _, most := k.counts(); most != 1 {
			t.Errorf("%d calls for one file at a time, want 1", most)
		}
		release()
		samples, _, err := r.poll(2*time.Second, oil, bath)
		if err != nil {
			t.Fatal(err)
		}
		wantAllGood(t, samples)
	})
}

// An answer that came after its poll had ended is old by the next.
func TestAnAnswerThatCameBetweenPollsIsThrownAway(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, k := newRig(t).open(), &kernel{}
		k.install(r, first, oil)
		release := k.hang(oil.String())
		r.poll(time.Second, oil)
		release()
		<-time.After(time.Hour)
		before, _ := k.counts()
		samples, _, err := r.poll(time.Second, oil)
		if err != nil {
			t.Fatal(err)
		}
		wantAllGood(t, samples)
		if after, _ := k.counts(); after != before+1 {
			t.Errorf("%d new conversions, want 1", after-before)
		}
	})
}

func TestALineThatHangsHoldsUpNoOther(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, k := newRig(t).open(), &kernel{bulk: true}
		k.install(r, first, oil)
		k.install(r, second, bath)
		release := k.hang(first) // not even the trigger returns
		for range 3 {
			samples, _, err := r.poll(time.Second, oil, bath)
			if err != nil {
				t.Fatal(err)
			}
			wantReading(t, "hanging line", samples[0].Reading, sensors.Failed(sensors.Absent))
			wantReading(t, "other line", samples[1].Reading, sensors.AtCelsius(27.5))
		}
		if _, most := k.counts(); most != 1 {
			t.Errorf("%d calls for one file at a time, want 1", most)
		}
		release()
		<-time.After(time.Minute) // what is outstanding ends
	})
}

func TestAWireOnWhichEverythingHangsIsAnError(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, k := newRig(t).open(), &kernel{}
		k.install(r, first, oil)
		release := k.hang(oil.String())
		samples, took, err := r.poll(time.Second, oil)
		if !errors.Is(err, context.DeadlineExceeded) {
			t.Errorf("got error %v, want the deadline's", err)
		}
		wantReading(t, "hanging", samples[0].Reading, sensors.Failed(sensors.Absent))
		if took != time.Second {
			t.Errorf("took %v, want 1 s", took)
		}
		release()
		<-time.After(time.Minute) // what is outstanding ends
	})
}

func TestACallerThatLeavesIsNoFaultOfTheProbe(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, k := newRig(t).open(), &kernel{}
		k.install(r, first, oil)
		ctx, cancel := context.WithCancel(t.Context())
		time.AfterFunc(100*time.Millisecond, cancel)
		samples, err := r.wire.Read(ctx, []sensors.Address{oil})
		if !errors.Is(err, context.Canceled) || samples[0].Reading.Fault != sensors.Absent {
			t.Errorf("got %v, %v; want absent and the context's error", samples[0].Reading.Fault, err)
		}
		if strings.Contains(r.log.String(), "probe changed") {
			t.Errorf("a fault was logged: %s", &r.log)
		}
		if _, err := r.wire.Probes(ctx); !errors.Is(err, context.Canceled) {
			t.Errorf("search: got error %v, want the context's", err)
		}
		<-time.After(time.Minute) // what is outstanding ends
	})
}

func TestASecondPollWaitsForTheFirstButNotForEver(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, k := newRig(t).open(), &kernel{}
		k.install(r, first, oil)
		release := k.hang(oil.String())
		done := make(chan struct{})
		go func() {
			defer close(done)
			r.wire.Read(t.Context(), []sensors.Address{oil})
		}()
		synctest.Wait()
		samples, took, err := r.poll(time.Second, oil)
		if !errors.Is(err, context.DeadlineExceeded) || took != time.Second {
			t.Errorf("got error %v after %v, want the deadline's after 1 s", err, took)
		}
		wantReading(t, "second poll", samples[0].Reading, sensors.Failed(sensors.Absent))
		release()
		<-done
	})
}
