package rules_test

import (
	"testing"
	"time"
	"unsafe"

	"bainward/rules"
	"bainward/sensors"
)

// warmed returns a bath that has been lit for an hour, so that every trail is
// full and every rule has something to judge.
func warmed(tb testing.TB) (*rules.Config, rules.State, sensors.Frame) {
	tb.Helper()
	cfg := plainConfig()
	s, _ := rules.Step(cfg, rules.State{}, rules.OfEvent(0, rules.Event{Kind: rules.Light}))
	var f sensors.Frame
	for i := range 3600 {
		f = sensors.Frame{At: time.Duration(i) * time.Second, Pressure: sensors.Pressure{Pascal: 101325}}
		f.Probes[sensors.Oil] = sensors.AtCelsius(88 + float64(i%7)/16)
		f.Probes[sensors.Bath] = sensors.AtCelsius(98 + float64(i%5)/16)
		f.Probes[sensors.Room] = sensors.AtCelsius(20)
		s, _ = rules.Step(cfg, s, rules.OfFrame(f))
	}
	return cfg, s, f
}

// One Step of a lit bath, as it runs each second.
func BenchmarkStep(b *testing.B) {
	cfg, s, f := warmed(b)
	b.ReportAllocs()
	for b.Loop() {
		f.At += time.Second
		f.Probes[sensors.Oil].Temperature ^= sensors.Grid * 625 // one step of the chip to and fro
		s, _ = rules.Step(cfg, s, rules.OfFrame(f))
	}
	b.ReportMetric(float64(unsafe.Sizeof(s)), "state-bytes")
}

// The same in place, as a fold of many inputs does it.
func BenchmarkStepInPlace(b *testing.B) {
	cfg, s, f := warmed(b)
	b.ReportAllocs()
	for b.Loop() {
		f.At += time.Second
		f.Probes[sensors.Oil].Temperature ^= sensors.Grid * 625
		in := rules.OfFrame(f)
		s.Take(cfg, &in)
	}
}
