package cutout_test

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"bainward/daemon/cutout"
	"bainward/rules/alarm"
)

// inputs draws what may happen in the life of a cut-out.
func inputs(t *rapid.T) []cutout.Input {
	states := []alarm.State{ // mostly well, or nothing would ever be allowed
		alarm.Normal, alarm.Normal, alarm.Normal, alarm.Normal, alarm.Normal, alarm.Normal, alarm.Normal, alarm.Normal,
		alarm.Unacknowledged, alarm.Acknowledged, alarm.ReturnedUnacknowledged, alarm.LatchedUnacknowledged,
		alarm.LatchedAcknowledged, alarm.Shelved, alarm.SuppressedByDesign, alarm.OutOfService,
	}
	kinds := []cutout.What{cutout.Tick, cutout.Polled, cutout.Polled, cutout.Polled, cutout.Reset}
	at := time.Duration(0)
	all := make([]cutout.Input, rapid.IntRange(1, 80).Draw(t, "inputs"))
	for i := range all {
		at += time.Duration(rapid.SampledFrom([]int{0, 1, 500, 1000, 1000, 1000, 9999, 10000, 60000}).Draw(t, "ms")) * time.Millisecond
		all[i] = cutout.Input{
			At: at, What: rapid.SampledFrom(kinds).Draw(t, "what"),
			Poll: cutout.Poll{
				Seen: rapid.IntRange(0, 5).Draw(t, "seen") > 0,
				Dry:  rapid.SampledFrom(states).Draw(t, "dry"),
				Hot:  rapid.SampledFrom(states).Draw(t, "hot"),
			},
			Who: rapid.SampledFrom([]string{"Robin", "Sorrel", ""}).Draw(t, "who"),
		}
	}
	return all
}

// Whatever happens: once boiling-dry or overheating stood, the heat stays off
// until a reset was granted; and none is granted while one of them stands.
func TestNoHeatWhileAnAlarmStandsOrIsNotReset(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var s cutout.State
		var v cutout.Verdict
		unreset, stands := false, false
		for _, in := range inputs(t) {
			s, v = cutout.Decide(s, in)
			switch {
			case in.What == cutout.Polled:
				stands = in.Poll.Dry.Open() || in.Poll.Hot.Open()
				unreset = unreset || stands
			case in.What == cutout.Reset && v.Refused == "":
				if stands || !unreset {
					t.Fatalf("a reset was granted at %v; an alarm stands: %t, the heat was cut: %t", in.At, stands, unreset)
				}
				unreset = false
			}
			if v.Allow && unreset {
				t.Fatalf("heat at %v, and the alarm was not reset", in.At)
			}
			if s.Trip.Set != unreset {
				t.Fatalf("at %v the trip to be recorded is %t, want %t", in.At, s.Trip.Set, unreset)
			}
		}
	})
}

// Whatever happens: without a poll that saw the bath in the last ten seconds
// there is no heat; and a verdict holds no longer than it says.
func TestNoHeatWithoutAPollInTheLastTenSeconds(t *testing.T) {
	allowed := 0
	rapid.Check(t, func(t *rapid.T) {
		var s cutout.State
		var v cutout.Verdict
		seen, seenAt := false, time.Duration(0)
		for _, in := range inputs(t) {
			s, v = cutout.Decide(s, in)
			if in.What == cutout.Polled && in.Poll.Seen {
				seen, seenAt = true, in.At
			}
			if !v.Allow {
				continue
			}
			allowed++
			if !seen || in.At-seenAt >= 10*time.Second {
				t.Fatalf("heat at %v; the bath was seen: %t, at %v", in.At, seen, seenAt)
			}
			if _, later := cutout.Decide(s, cutout.Input{At: in.At + v.Holds}); later.Allow {
				t.Fatalf("heat at %v, still allowed %v later without a poll", in.At, v.Holds)
			}
			if _, before := cutout.Decide(s, cutout.Input{At: in.At + v.Holds - 1}); !before.Allow {
				t.Fatalf("heat at %v ends before its %v are over", in.At, v.Holds)
			}
		}
	})
	if allowed == 0 {
		t.Error("the heat was never allowed: nothing was tested")
	}
}
