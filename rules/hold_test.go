package rules_test

import (
	"testing"
	"time"

	"bainward/rules"
	"bainward/sensors"
)

func TestTheHoldCountsFromTheFloor(t *testing.T) {
	s := lit(t)
	s.still = true
	s.cfg.Recipe.FloorC = 85
	s.oil = 85
	s.frame()
	before := s.s.Hold()
	s.stay(10 * time.Minute) // exactly at the floor counts
	if got := s.s.Hold() - before; got != 10*time.Minute {
		t.Errorf("at the floor for 10 min: counted %s", got)
	}
	before = s.s.Hold()
	s.oil = 85 - 1.0/16 // one step of the chip below does not
	s.stay(10 * time.Minute)
	if got := s.s.Hold() - before; got != 0 {
		t.Errorf("below the floor: counted %s", got)
	}
}

func TestAGapOverThirtySecondsCountsForNothing(t *testing.T) {
	for _, c := range []struct{ gap, want time.Duration }{
		{29 * time.Second, 30 * time.Second}, // 29 missing readings are 30 s between two good ones
		{30 * time.Second, 0},
		{5 * time.Minute, 0},
	} {
		s := lit(t)
		before := s.s.Hold()
		s.fault[sensors.Oil] = sensors.Absent
		s.stay(c.gap)
		s.fault[sensors.Oil] = sensors.NoFault
		s.frame()
		if got := s.s.Hold() - before; got != c.want {
			t.Errorf("a gap of %s counts %s, want %s", c.gap, got, c.want)
		}
	}
}

func TestFramesLeftOutAreAGapToo(t *testing.T) {
	s := lit(t)
	before := s.s.Hold()
	s.at += 10 * time.Minute
	s.frame()
	if got := s.s.Hold() - before; got != 0 {
		t.Errorf("ten minutes without a frame count %s", got)
	}
}

func TestAHeldBatchIsHeldAndAShortOneShort(t *testing.T) {
	s := lit(t)
	if s.s.Verdict() != rules.Open {
		t.Errorf("in the middle the verdict is %s", s.s.Verdict())
	}
	s.stay(2 * time.Hour)
	if s.s.Verdict() != rules.Held {
		t.Errorf("after two hours the verdict is %s", s.s.Verdict())
	}
	s.do("strain")
	s.is(rules.TooShort, rules.Clear)

	s = lit(t)
	s.do("strain")
	s.is(rules.TooShort, rules.Raised)
	if want := "Strained 1 h 49 min before the hold of 2 h 00 min was done."; s.says(rules.TooShort) != want {
		t.Errorf("it says %q, want %q", s.says(rules.TooShort), want)
	}
	if s.s.Verdict() != rules.Short {
		t.Errorf("the verdict is %s", s.s.Verdict())
	}
}

func TestOilThatFallsBelowItsFloorAndStaysIsTooShort(t *testing.T) {
	s := lit(t)
	s.to(5*time.Minute, 83, 88)
	s.to(9*time.Minute, 80, 84)
	s.is(rules.TooShort, rules.Clear)
	s.stay(5 * time.Minute) // lower and steady is no recovery
	s.is(rules.TooShort, rules.Raised)
	s.to(5*time.Minute, 82, 97)
	s.is(rules.TooShort, rules.Clear)
}

func TestAColdTopUpIsNotTooShortNorOffTheSimmer(t *testing.T) {
	s := lit(t)
	s.watch()
	s.do("top-up 0.5 kg")
	s.to(30*time.Second, 88, 70)
	s.to(4*time.Minute, 83, 84)
	s.to(4*time.Minute, 83, 97)
	s.to(5*time.Minute, 88, 98)
	s.quiet(rules.TopUpDue)
}

// The same water without a word to anybody.
func TestAnUnenteredTopUpIsNoAlarmEither(t *testing.T) {
	s := lit(t)
	s.stay(5 * time.Minute)
	s.watch()
	s.to(30*time.Second, 88, 70)
	s.to(4*time.Minute, 83, 84)
	s.to(4*time.Minute, 83, 97)
	s.to(5*time.Minute, 88, 98)
	s.quiet(rules.TopUpDue)
}

func TestABathThatFallsBackIsOffTheSimmer(t *testing.T) {
	s := lit(t)
	s.to(10*time.Minute, 86, 88)
	s.is(rules.OffTheSimmer, rules.Raised)
	s.to(4*time.Minute, 86, 93)
	s.is(rules.OffTheSimmer, rules.Clear)
}

func TestABathThatSinksSlowlyIsToldWhenTheOilGoesBelowItsFloor(t *testing.T) {
	s := lit(t)
	s.to(14*time.Minute, 85.3, 93)
	s.is(rules.OffTheSimmer, rules.Clear)
	s.to(4*time.Minute, 84.5, 91.8)
	s.is(rules.OffTheSimmer, rules.Raised)
}

func TestABathMayCoolWhenTheHoldIsDone(t *testing.T) {
	s := lit(t)
	s.stay(2 * time.Hour)
	s.watch()
	s.to(30*time.Minute, 70, 70)
	s.quiet(rules.TopUpDue, rules.DishBare)
	s.is(rules.TooShort, rules.Clear)
}

func TestASecondMacerationHasItsOwnHoldAndVerdict(t *testing.T) {
	s := lit(t)
	s.cfg.Recipe.Macerations = 2
	s.stay(2 * time.Hour)
	first := s.s.HoldOfBatch()
	s.do("strain")
	if s.s.Verdict() != rules.Open {
		t.Errorf("after one of two macerations the verdict is %s", s.s.Verdict())
	}
	s.to(10*time.Minute, 60, 60)
	s.do("recharge 200 g")
	if s.s.Hold() != 0 || s.s.Pass() != 2 || s.s.Phase() != rules.Heating {
		t.Errorf("the second begins with a hold of %s, as number %d, %s", s.s.Hold(), s.s.Pass(), s.s.Phase())
	}
	s.to(20*time.Minute, 88, 98)
	s.stay(time.Hour)
	s.do("strain")
	s.is(rules.TooShort, rules.Raised)
	if s.s.Verdict() != rules.Short {
		t.Errorf("with a second one cut short the verdict is %s", s.s.Verdict())
	}
	if s.s.HoldOfBatch() <= first+59*time.Minute {
		t.Errorf("both hold %s, the first alone %s", s.s.HoldOfBatch(), first)
	}
}

func TestARechargeEndsAMacerationThatNobodyStrained(t *testing.T) {
	s := lit(t)
	s.stay(2 * time.Hour)
	s.do("recharge")
	if s.s.Phase() != rules.Heating || s.s.Hold() != 0 {
		t.Errorf("after recharge: %s, hold %s", s.s.Phase(), s.s.Hold())
	}
	s.oil = 88
	s.stay(2*time.Hour + time.Minute)
	s.do("strain")
	if s.s.Verdict() != rules.Held {
		t.Errorf("held twice, and the verdict is %s", s.s.Verdict())
	}
}
