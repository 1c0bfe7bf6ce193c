package rules_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bainward/rules"
	"bainward/sensors"
)

// inputs draws a run of a bath, or of what a broken wire and a careless maker
// make of one: any events in any order, readings that wander, jump and fail,
// frames at any pace, restarts. Only time goes forward.
func inputs(t *rapid.T, restarts bool) []rules.Input {
	var list []rules.Input
	at := time.Duration(rapid.Int64Range(0, 1e12).Draw(t, "begin"))
	oil, bath := 20.0, 20.0
	for range rapid.IntRange(1, 12).Draw(t, "stretches") {
		switch rapid.IntRange(0, 3).Draw(t, "what") {
		case 0:
			k := rules.EventKind(rapid.IntRange(1, 10).Draw(t, "event"))
			e := rules.Event{Kind: k}
			if rapid.Bool().Draw(t, "says how much") {
				e.Quantity = rules.Quantity{Milli: rapid.Int64Range(1, 1e9).Draw(t, "milli"), Unit: rules.Unit(rapid.IntRange(1, 7).Draw(t, "unit"))}
			}
			list = append(list, rules.OfEvent(at, e))
		case 1:
			if restarts {
				at += time.Duration(rapid.Int64Range(0, int64(time.Hour)).Draw(t, "away"))
				list = append(list, rules.Input{Kind: rules.RestartInput, At: at, GapKnown: rapid.Bool().Draw(t, "gap known")})
			}
		default:
			oilTo, bathTo := rapid.Float64Range(-60, 130).Draw(t, "oil"), rapid.Float64Range(-60, 130).Draw(t, "bath")
			fault := sensors.Fault(rapid.IntRange(0, 30).Draw(t, "fault"))
			role := sensors.Role(rapid.IntRange(0, 2).Draw(t, "role"))
			every := time.Duration(rapid.SampledFrom([]int64{1e9, 1e9, 1e10, 3e10, 12345678, 0}).Draw(t, "every"))
			for n := rapid.IntRange(1, 400).Draw(t, "frames"); n > 0; n-- {
				oil += (oilTo - oil) / float64(n)
				bath += (bathTo - bath) / float64(n)
				at += every
				list = append(list, rules.OfFrame(frameOf(at, oil, bath, role, fault)))
			}
		}
	}
	return append(list, rules.OfFrame(frameOf(at, oil, bath, sensors.Oil, sensors.NoFault)))
}

func frameOf(at time.Duration, oil, bath float64, role sensors.Role, fault sensors.Fault) sensors.Frame {
	f := sensors.Frame{At: at, Pressure: sensors.Pressure{Pascal: 101325}}
	f.Probes = [sensors.RoleCount]sensors.Reading{sensors.AtCelsius(oil), sensors.AtCelsius(bath), sensors.AtCelsius(20)}
	if fault != sensors.NoFault && fault <= sensors.OutOfRange {
		f.Probes[role] = sensors.Failed(fault)
	}
	if fault == sensors.OutOfRange+1 {
		f.Pressure = sensors.Pressure{Fault: sensors.Absent}
	}
	return f
}

func foldAll(cfg *rules.Config, s rules.State, list []rules.Input) rules.State {
	for _, in := range list {
		s, _ = rules.Step(cfg, s, in)
	}
	return s
}

func TestFoldingTwiceGivesTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cfg, list := plainConfig(), inputs(t, true)
		one, two := foldAll(cfg, rules.State{}, list), foldAll(cfg, rules.State{}, list)
		if one != two {
			t.Fatal("the same inputs give two states")
		}
		if one.Findings() != two.Findings() {
			t.Fatal("the same inputs give two findings")
		}
	})
}

// The wall clock of a Pi without a clock chip jumps when it learns the time.
func TestTheWallClockChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cfg, list := plainConfig(), inputs(t, false)
		want := foldAll(cfg, rules.State{}, list)
		for i := range list {
			list[i].Frame.Wall = time.Unix(rapid.Int64Range(-1e9, 4e9).Draw(t, "wall"), 0)
		}
		if foldAll(cfg, rules.State{}, list) != want {
			t.Fatal("the wall clock changes the state")
		}
	})
}

// Whatever comes, the hold is no longer than the time that passed and never
// less than before within a maceration, and what is said is said in numbers.
func TestTheHoldIsHonestWhateverComes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cfg, list := plainConfig(), inputs(t, true)
		var s rules.State
		pass, hold, batch := 0, time.Duration(0), s.HoldOfBatch()
		for _, in := range list {
			begun := s.Begun()
			var found rules.Findings
			s, found = rules.Step(cfg, s, in)
			anew := in.Kind == rules.EventInput && (in.Event.Kind == rules.Recharge || !begun)
			if s.Hold() < hold && !anew {
				t.Fatalf("the hold went back from %s to %s in maceration %d, then %d", hold, s.Hold(), pass, s.Pass())
			}
			if !anew && s.HoldOfBatch() < batch {
				t.Fatalf("the batch's hold went back from %s to %s", batch, s.HoldOfBatch())
			}
			if s.HoldOfBatch() > in.At-list[0].At || s.Hold() > s.HoldOfBatch() {
				t.Fatalf("hold %s, of the batch %s, in %s", s.Hold(), s.HoldOfBatch(), in.At-list[0].At)
			}
			pass, hold, batch = s.Pass(), s.Hold(), s.HoldOfBatch()
			for id, f := range found {
				for _, u := range []rules.Units{rules.Metric, rules.US} {
					if said := rules.Say(rules.ID(id), f, u); strings.Contains(said, "NaN") || strings.Contains(said, "Inf") {
						t.Fatalf("%s says %q", rules.ID(id), said)
					}
				}
				if math.IsNaN(f.A) || math.IsNaN(f.B) {
					t.Fatalf("%s holds %v and %v", rules.ID(id), f.A, f.B)
				}
			}
		}
	})
}

// A restart of the program on a machine that stayed up is no event in the pan:
// the same findings and the same hold follow, for the offsets are on one clock.
// Nothing may differ, because a restart with a known gap changes no memory.
func TestARestartWithAKnownGapChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cfg, list := plainConfig(), inputs(t, false)
		cut := rapid.IntRange(0, len(list)-1).Draw(t, "cut")
		whole := foldAll(cfg, rules.State{}, list)
		first := foldAll(cfg, rules.State{}, list[:cut+1])
		restarted, _ := rules.Step(cfg, first, rules.Input{Kind: rules.RestartInput, At: list[cut].At, GapKnown: true})
		second := foldAll(cfg, restarted, list[cut+1:])
		if second.Findings() != whole.Findings() || second.Hold() != whole.Hold() || second.Phase() != whole.Phase() {
			t.Fatalf("in two halves: %v, %s; whole: %v, %s", second.Findings(), second.Hold(), whole.Findings(), whole.Hold())
		}
	})
}

// If nobody knows how long the program was away, no hold is counted across the
// gap, and readings before it are no witness against those after.
func TestNoHoldIsCountedAcrossAnUnknownGap(t *testing.T) {
	for _, known := range []bool{true, false} {
		s := lit(t)
		before := s.s.Hold()
		s.s, _ = rules.Step(s.cfg, s.s, rules.Input{Kind: rules.RestartInput, At: s.at + time.Second, GapKnown: known})
		s.at += time.Second
		s.frame()
		want := time.Duration(0)
		if known {
			want = 2 * time.Second
		}
		if got := s.s.Hold() - before; got != want {
			t.Errorf("gap known %t: the hold went on by %s, want %s", known, got, want)
		}
	}
	s := lit(t)
	s.s, _ = rules.Step(s.cfg, s.s, rules.Input{Kind: rules.RestartInput, At: s.at})
	s.oil, s.bath = 60, 65 // an hour later, for all anybody knows
	s.frame()
	if c, fault := s.s.Celsius(sensors.Oil); fault != sensors.NoFault || c > 61 {
		t.Errorf("after the gap the oil is %v °C, %s", c, fault)
	}
	s.is(rules.BoilingDry, rules.Clear)
}
