package bridge_test

import (
	"context"
	"testing"
	"time"

	"bainward/sensors"
	"bainward/sensors/bridge"
)

// The emulated wire charges every I²C byte at 400 kHz and every 1-Wire slot at
// its standard length; the chips take 600 ms, as genuine ones do (C. Petrich,
// github.com/cpetrich/counterfeit_DS18B20: 580…615 ms). Not counted is what
// the machine adds to each sleep and transaction.
func TestTwentyProbesFitIntoOneSecondWithOneConversion(t *testing.T) {
	chips, addresses := many(20)
	r := newRig(t, chips...)
	before := r.clock.Now()
	got := r.readings(addresses...)
	took := r.clock.Now() - before
	t.Logf("20 probes, conversions of 600 ms: %v", took)
	if took >= time.Second {
		t.Errorf("the poll took %v, want less than 1 s", took)
	}
	if took < 600*time.Millisecond+20*19*8*60*time.Microsecond {
		t.Errorf("the poll took %v, less than the 1-Wire slots alone", took)
	}
	for i, a := range addresses {
		if got[i] != sensors.AtCelsius(float64(i)) {
			t.Errorf("%v: got %v °C (%v), want %d", a, got[i].Celsius(), got[i].Fault, i)
		}
		if n := r.chip(a).Conversions(); n != 1 {
			t.Errorf("%v: %d conversions, want 1", a, n)
		}
	}
}

func BenchmarkPollOfTwentyProbes(b *testing.B) {
	chips, addresses := many(20)
	r := newRig(b, chips...)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := r.wire.Read(context.Background(), addresses); err != nil {
			b.Fatal(err)
		}
	}
}

var _ sensors.Source = (*bridge.Wire)(nil)
