package rules_test

import (
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/sensors"
)

// wordless are the faults of a probe that says nothing; talking those of one
// that talks nonsense (data sheet 19-7487 and Petrich's copies, see sensors).
var (
	wordless = []sensors.Fault{sensors.Absent, sensors.AllOnes, sensors.Stale}
	talking  = []sensors.Fault{sensors.BadCRC, sensors.AllZero, sensors.PowerOn, sensors.ConversionFailed, sensors.OutOfRange}
)

func TestAProbeThatSaysNothingIsSilent(t *testing.T) {
	for _, role := range []sensors.Role{sensors.Oil, sensors.Bath} {
		for _, f := range wordless {
			s := lit(t)
			s.fault[role] = f
			s.stay(14 * time.Second)
			s.is(rules.ProbeSilent, rules.Clear)
			s.stay(2 * time.Second)
			s.is(rules.ProbeSilent, rules.Raised)
			s.stay(time.Minute)
			s.is(rules.ProbeDoubtful, rules.Clear)
			s.is(rules.BathSilent, rules.Clear)
			if !strings.HasPrefix(s.says(rules.ProbeSilent), "The "+role.String()+" probe") {
				t.Errorf("%s %s: it says %q", role, f, s.says(rules.ProbeSilent))
			}
			s.fault[role] = sensors.NoFault
			s.frame()
			s.is(rules.ProbeSilent, rules.Clear)
		}
	}
}

func TestAProbeThatTalksNonsenseIsDoubtful(t *testing.T) {
	for _, role := range []sensors.Role{sensors.Oil, sensors.Bath} {
		for _, f := range talking {
			s := lit(t)
			s.fault[role] = f
			s.stay(9 * time.Second)
			s.is(rules.ProbeDoubtful, rules.Clear)
			s.stay(2 * time.Second)
			s.is(rules.ProbeDoubtful, rules.Raised)
			s.stay(time.Minute)
			s.is(rules.ProbeSilent, rules.Clear)
			if want := f.String(); !strings.Contains(s.says(rules.ProbeDoubtful), want) {
				t.Errorf("%s %s: it says %q", role, f, s.says(rules.ProbeDoubtful))
			}
			s.fault[role] = sensors.NoFault
			s.stay(2 * time.Minute)
			s.is(rules.ProbeDoubtful, rules.Clear)
		}
	}
}

func TestTwoSilentProbesAreOneSilentBath(t *testing.T) {
	s := lit(t)
	s.fault[sensors.Oil] = sensors.Absent
	s.stay(time.Minute)
	s.is(rules.ProbeSilent, rules.Raised)
	s.fault[sensors.Bath] = sensors.AllZero // even if one of them talks nonsense
	s.stay(25 * time.Second)
	s.is(rules.BathSilent, rules.Raised)
	s.fault[sensors.Bath] = sensors.Absent
	s.stay(25 * time.Second)
	s.is(rules.BathSilent, rules.Raised)
	s.is(rules.ProbeSilent, rules.Clear)
	s.fault[sensors.Bath] = sensors.NoFault
	s.frame()
	s.is(rules.BathSilent, rules.Clear)
	s.is(rules.ProbeSilent, rules.Raised)
}

func TestNobodyMissesTheProbesOfAColdOrStrainedBath(t *testing.T) {
	s := newSeries(t)
	s.watch()
	s.fault = [sensors.RoleCount]sensors.Fault{sensors.Absent, sensors.Absent, sensors.Absent}
	s.stay(5 * time.Minute)
	s.quiet()

	s = lit(t)
	s.stay(2 * time.Hour)
	s.do("strain")
	s.watch()
	s.fault[sensors.Oil], s.fault[sensors.Bath] = sensors.Absent, sensors.BadCRC
	s.stay(5 * time.Minute)
	s.quiet()
}

// A single 85 °C, as of a chip that lost its supply for a moment and whose
// driver could not tell.
func TestAnEightyFiveOutOfNowhereIsNotBelieved(t *testing.T) {
	s := newSeries(t)
	s.do("fill 1.85 kg; charge; light")
	s.to(10*time.Minute, 30, 60)
	s.oil = 85
	s.still = true
	s.frame()
	if _, fault := s.s.Celsius(sensors.Oil); fault != sensors.PowerOn {
		t.Errorf("85.0 °C after 30 °C is %s", fault)
	}
	s.stay(10 * time.Minute) // nor is it when the chip says nothing else
	s.is(rules.ProbeDoubtful, rules.Raised)
	if s.s.Hold() != 0 {
		t.Errorf("a chip that restarts counted %s of hold", s.s.Hold())
	}
}

func TestATrueEightyFiveIsBelieved(t *testing.T) {
	s := newSeries(t)
	s.still = true
	s.do("fill 1.85 kg; charge; light")
	s.watch()
	s.to(12*time.Minute, 45, 98)
	s.to(14*time.Minute, 85, 98)
	s.stay(4 * time.Minute)
	if c, fault := s.s.Celsius(sensors.Oil); c != 85 || fault != sensors.NoFault {
		t.Errorf("%v °C, %s", c, fault)
	}
	s.quiet(rules.TopUpDue)
}

func TestAJumpIsPassedOverAndAMovedProbeBelieved(t *testing.T) {
	s := lit(t)
	before := s.s.Hold()
	s.oil = 20 // out of the dish in one second: no probe follows so fast
	s.frame()
	if _, fault := s.s.Celsius(sensors.Oil); fault != sensors.Jumped {
		t.Errorf("88 to 20 °C in a second is %s", fault)
	}
	s.oil = 88
	s.frame()
	if c, fault := s.s.Celsius(sensors.Oil); fault != sensors.NoFault || c < 87 {
		t.Errorf("back at 88 °C is %v, %s", c, fault)
	}
	if got := s.s.Hold() - before; got != 2*time.Second {
		t.Errorf("the hold went on by %s over a slip of a second", got)
	}
	s.oil = 30
	s.stay(2 * time.Second)
	if _, fault := s.s.Celsius(sensors.Oil); fault != sensors.Jumped {
		t.Errorf("after two readings elsewhere: %s", fault)
	}
	s.stay(2 * time.Second)
	if c, fault := s.s.Celsius(sensors.Oil); fault != sensors.NoFault || c > 31 {
		t.Errorf("a probe that stays at 30 °C is %v, %s", c, fault)
	}
}

func TestAProbeThatStandsStillToTheLastBitIsStuck(t *testing.T) {
	s := newSeries(t)
	s.do("fill 1.85 kg; charge; light")
	s.to(12*time.Minute, 40, 80)
	s.still = true
	s.to(6*time.Minute, 40, 95) // a bath 50 K ahead warms the oil
	s.is(rules.ProbeDoubtful, rules.Raised)
	if !strings.Contains(s.says(rules.ProbeDoubtful), "oil probe cannot be believed: stuck") {
		t.Errorf("it says %q", s.says(rules.ProbeDoubtful))
	}
	s.still = false
	s.to(3*time.Minute, 50, 97)
	s.is(rules.ProbeDoubtful, rules.Clear)
}

func TestABathMayStandStillAtTheBoil(t *testing.T) {
	s := lit(t)
	s.watch()
	s.still = true
	s.to(19*time.Minute, 90, 98)
	s.quiet(rules.TopUpDue)
}

func TestNothingStandsStillForTwentyMinutesOverALitHob(t *testing.T) {
	s := lit(t)
	s.still = true
	s.stay(20 * time.Minute)
	s.is(rules.ProbeDoubtful, rules.Clear)
	s.stay(20 * time.Second)
	s.is(rules.ProbeDoubtful, rules.Raised)
	before := s.s.Hold()
	s.stay(time.Hour)
	if s.s.Hold() != before {
		t.Error("a probe that stands still counts as hold")
	}
}

// A logger that rounds to half a degree stands still without being stuck.
func TestACoarseProbeMayStandStill(t *testing.T) {
	s := newSeries(t)
	s.still = true
	s.do("fill 1.85 kg; charge; light")
	for _, step := range []struct{ oil, bath float64 }{{30, 60}, {45, 98}, {60, 98.5}, {75, 98}, {88, 98}} {
		s.oil, s.bath = step.oil, step.bath
		s.stay(5 * time.Minute)
	}
	s.watch()
	s.stay(time.Hour)
	s.quiet(rules.TopUpDue)
}

func TestAFlappingContactIsDoubtful(t *testing.T) {
	for _, f := range []sensors.Fault{sensors.BadCRC, sensors.Absent} {
		s := lit(t)
		for range 60 { // answers every other time
			s.fault[sensors.Bath] = f
			s.frame()
			s.fault[sensors.Bath] = sensors.NoFault
			s.frame()
		}
		s.is(rules.ProbeDoubtful, rules.Raised)
		s.stay(5 * time.Minute)
		s.is(rules.ProbeDoubtful, rules.Clear)
	}
}

func TestARareSlipOnTheWireIsNoAlarm(t *testing.T) {
	s := lit(t)
	s.watch()
	for range 60 {
		s.fault[sensors.Oil] = sensors.BadCRC
		s.frame()
		s.fault[sensors.Oil] = sensors.NoFault
		s.stay(9 * time.Second)
	}
	s.quiet(rules.TopUpDue)
}

func TestSwappedProbesAreToldAndCountNoHold(t *testing.T) {
	s := newSeries(t)
	s.do("fill 1.85 kg; charge; light")
	s.to(15*time.Minute, 98, 40)
	s.is(rules.ProbeDoubtful, rules.Raised)
	if !strings.Contains(s.says(rules.ProbeDoubtful), "swapped") {
		t.Errorf("it says %q", s.says(rules.ProbeDoubtful))
	}
	s.to(20*time.Minute, 98, 88)
	if s.s.Hold() != 0 || s.s.Phase() != rules.Heating {
		t.Errorf("%s, with a hold of %s", s.s.Phase(), s.s.Hold())
	}
}

// A litre of cold water turns the two round for some minutes, and that is all.
func TestABigColdTopUpIsNoSwap(t *testing.T) {
	s := lit(t)
	s.stay(10 * time.Minute)
	s.watch()
	s.to(40*time.Second, 88, 66)
	s.to(7*time.Minute, 76, 78)
	s.to(8*time.Minute, 77, 92)
	s.quiet(rules.TopUpDue)
}

func TestACalibratedProbeIsCorrectedAndTrustedMore(t *testing.T) {
	// Two-point correction of checks by hand: r 0.31 at 0.00 °C and 99.19 at
	// 98.31 °C, so that r = 60.00 is 59.346 °C.
	c := rules.Correction{Gain: 0.994235, Offset: -0.3082, Uncertainty: 0.2}
	if got := c.Celsius(60); got < 59.345 || got > 59.347 {
		t.Errorf("60.00 is corrected to %.4f, want 59.346", got)
	}
	if c.Error(99) != 0.2 {
		t.Errorf("a calibrated probe may be off by %v", c.Error(99))
	}
	// Data sheet 19-7487: ±0.5 °C to 85 °C, ±1 °C to 100 °C (from memory), ±2 °C beyond.
	var plain rules.Correction
	for celsius, want := range map[float64]float64{20: 0.5, 85: 0.5, 85.0625: 1, 100: 1, 110: 2} {
		if got := plain.Error(celsius); got != want {
			t.Errorf("at %v °C an uncalibrated probe may be off by %v, want %v", celsius, got, want)
		}
	}
}
