package main

import (
	"context"
	"errors"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"bainward/sensors"
)

// fakeWire is a Source that takes a conversion's time and answers for the
// probes it has.
type fakeWire struct {
	probes map[sensors.Address]sensors.Reading
	broken error

	mu     sync.Mutex
	asked  [][]sensors.Address // one element a Read
	closed bool
}

// conversion is the longest a DS18B20 takes at 12 bits (data sheet 19-7487).
const conversion = 750 * time.Millisecond

func (w *fakeWire) Probes(context.Context) ([]sensors.Address, error) {
	if w.broken != nil {
		return nil, w.broken
	}
	var found []sensors.Address
	for a := range w.probes {
		found = append(found, a)
	}
	slices.Sort(found)
	return found, nil
}

func (w *fakeWire) Read(ctx context.Context, addresses []sensors.Address) ([]sensors.Sample, error) {
	w.mu.Lock()
	w.asked = append(w.asked, addresses)
	w.mu.Unlock()
	select {
	case <-ctx.Done():
	case <-time.After(conversion):
	}
	samples := make([]sensors.Sample, len(addresses))
	for i, a := range addresses {
		r, here := w.probes[a]
		if !here || w.broken != nil {
			r = sensors.Failed(sensors.Absent)
		}
		samples[i] = sensors.Sample{Address: a, Reading: r}
	}
	return samples, w.broken
}

func (w *fakeWire) Close() error { w.closed = true; return w.broken }

func wireWith(r sensors.Reading, addresses ...sensors.Address) *fakeWire {
	w := &fakeWire{probes: map[sensors.Address]sensors.Reading{}}
	for _, a := range addresses {
		w.probes[a] = r
	}
	return w
}

var (
	oilProbe  = sensors.NewAddress(sensors.FamilyDS18B20, 0x00000bbb9b13)
	bathProbe = sensors.NewAddress(sensors.FamilyDS18B20, 0x000005fba71c)
	lostProbe = sensors.NewAddress(sensors.FamilyDS18B20, 0x00001010d6ca)
)

func join(wires ...*fakeWire) *joined {
	j := &joined{pinned: map[sensors.Address]int{}, routes: map[sensors.Address]int{}}
	for i, w := range wires {
		j.wires = append(j.wires, namedSource{[]string{"bench", "window"}[i], w})
	}
	return j
}

func TestJoinedWiresConvertAtOnceAndAnswerInTheOrderAsked(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		j := join(wireWith(sensors.AtCelsius(20), oilProbe), wireWith(sensors.AtCelsius(21), bathProbe))
		asked := []sensors.Address{bathProbe, lostProbe, oilProbe}
		before := time.Now()
		samples, err := j.Read(t.Context(), asked)
		if took := time.Since(before); took != conversion {
			t.Errorf("two wires took %v, want one conversion, %v", took, conversion)
		}
		if err != nil {
			t.Fatal(err)
		}
		want := []sensors.Reading{sensors.AtCelsius(21), sensors.Failed(sensors.Absent), sensors.AtCelsius(20)}
		for i, s := range samples {
			if s.Address != asked[i] || s.Reading != want[i] {
				t.Errorf("answer %d is %v %v, want %v %v", i, s.Address, s.Reading, asked[i], want[i])
			}
		}
	})
}

func TestJoinedAsksAProbeWhereItAnsweredLast(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		bench, window := wireWith(sensors.AtCelsius(20), oilProbe), wireWith(sensors.AtCelsius(21), bathProbe)
		j := join(bench, window)
		both := []sensors.Address{oilProbe, bathProbe}
		for range 2 {
			if _, err := j.Read(t.Context(), both); err != nil {
				t.Fatal(err)
			}
		}
		if got := bench.asked[0]; !slices.Equal(got, both) {
			t.Errorf("bench was first asked for %v, want all, because nothing was known", got)
		}
		if got := bench.asked[1]; !slices.Equal(got, both[:1]) {
			t.Errorf("bench was then asked for %v, want only its own probe", got)
		}
	})
}

func TestJoinedFindsAProbeThatWasMovedToAnotherWire(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		bench, window := wireWith(sensors.AtCelsius(20), oilProbe), wireWith(sensors.AtCelsius(21))
		j := join(bench, window)
		if _, err := j.Probes(t.Context()); err != nil {
			t.Fatal(err)
		}
		delete(bench.probes, oilProbe)
		window.probes[oilProbe] = sensors.AtCelsius(21)
		var got sensors.Reading
		for range 2 { // the first finds it gone, the second finds it
			samples, err := j.Read(t.Context(), []sensors.Address{oilProbe})
			if err != nil {
				t.Fatal(err)
			}
			got = samples[0].Reading
		}
		if got != sensors.AtCelsius(21) {
			t.Errorf("the probe reads %v, want 21 °C from its new wire", got)
		}
	})
}

func TestJoinedNeverLooksElsewhereForAPinnedProbe(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		bench, window := wireWith(sensors.AtCelsius(20)), wireWith(sensors.AtCelsius(21), oilProbe)
		j := join(bench, window)
		j.pinned[oilProbe] = 0
		found, err := j.Probes(t.Context())
		if err != nil || len(found) != 0 {
			t.Errorf("search gives %v (%v), want nothing: the probe is on the wrong wire", found, err)
		}
		samples, err := j.Read(t.Context(), []sensors.Address{oilProbe})
		if err != nil || samples[0].Reading.Fault != sensors.Absent {
			t.Errorf("the probe reads %v (%v), want no answer", samples[0].Reading, err)
		}
		if len(window.asked) != 0 {
			t.Errorf("the other wire was asked for %v", window.asked)
		}
	})
}

func TestJoinedKeepsADamagedAnswerRatherThanNone(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		j := join(wireWith(sensors.AtCelsius(20)), wireWith(sensors.Failed(sensors.BadCRC), oilProbe))
		samples, err := j.Read(t.Context(), []sensors.Address{oilProbe})
		if err != nil || samples[0].Reading.Fault != sensors.BadCRC {
			t.Errorf("the probe reads %v (%v), want the fault of the wire it is on", samples[0].Reading, err)
		}
	})
}

func TestOneBrokenWireLeavesTheOtherReadable(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		cause := errors.New("bus error")
		bench, window := wireWith(sensors.AtCelsius(20), oilProbe), wireWith(sensors.AtCelsius(21), bathProbe)
		window.broken = cause
		j := join(bench, window)
		samples, err := j.Read(t.Context(), []sensors.Address{oilProbe, bathProbe})
		if !errors.Is(err, cause) || !strings.Contains(err.Error(), "window") {
			t.Errorf("error is %v, want the cause and the name of the wire", err)
		}
		if len(samples) != 2 || !samples[0].Reading.OK() || samples[1].Reading.OK() {
			t.Errorf("samples are %v, want a reading from the bench and a fault from the window", samples)
		}
		if err := j.Close(); !errors.Is(err, cause) {
			t.Errorf("closing gives %v, want the cause", err)
		}
		if !bench.closed || !window.closed {
			t.Error("a wire was left open")
		}
	})
}
