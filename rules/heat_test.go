package rules_test

import (
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/sensors"
)

func TestOilOverItsCeilingIsOverheating(t *testing.T) {
	s := lit(t)
	s.to(20*time.Minute, 99, 99.5)
	s.is(rules.Overheating, rules.Clear) // at the boiling point, within what the probe may be off
	s.to(5*time.Minute, 101.5, 99.5)
	s.is(rules.Overheating, rules.Raised)
	if s.s.Verdict() != rules.Spoiled {
		t.Errorf("the verdict is %s, want spoiled", s.s.Verdict())
	}
	s.to(time.Minute, 100, 99.5) // within the dead band
	s.is(rules.Overheating, rules.Raised)
	s.to(2*time.Minute, 99, 99.5)
	s.is(rules.Overheating, rules.Clear)
}

func TestOneSlippedReadingSpoilsNoBatch(t *testing.T) {
	s := lit(t)
	s.to(20*time.Minute, 99, 99.5)
	s.oil = 102 // within what a probe can move in a second
	s.frame()
	s.oil = 99
	s.stay(time.Minute)
	s.is(rules.Overheating, rules.Clear)
	if s.s.Verdict() == rules.Spoiled {
		t.Error("one reading spoiled the batch")
	}
}

func TestARecipesOwnCeilingCounts(t *testing.T) {
	s := lit(t)
	s.cfg.Recipe.CeilingC = 90
	s.to(5*time.Minute, 91, 98)
	s.is(rules.Overheating, rules.Raised)
	if want := "The oil went over its ceiling of 90.0 °C"; !strings.HasPrefix(s.says(rules.Overheating), want) {
		t.Errorf("it says %q, want %q", s.says(rules.Overheating), want)
	}
}

// The dish stands on the hob, and the bath probe hangs in the air of the room.
func TestADishOnTheHobIsToldByItsRise(t *testing.T) {
	s := newSeries(t)
	s.do("charge; light")
	s.to(9*time.Minute, 92, 21) // 8 K a minute
	s.is(rules.Overheating, rules.Raised)
	if !strings.Contains(s.says(rules.Overheating), "directly") {
		t.Errorf("it says %q", s.says(rules.Overheating))
	}
}

// A bath that is ahead of the oil may heat it: 40 K ahead, 2 to 4 K a minute is
// an ordinary warming up.
func TestAnOrdinaryWarmingUpIsNoOverheating(t *testing.T) {
	s := newSeries(t)
	s.watch()
	s.do("fill 1.85 kg; charge; light")
	s.to(12*time.Minute, 45, 98)
	s.to(14*time.Minute, 88, 98)
	s.quiet(rules.TopUpDue)
}

// Oil that is stirred, or has warmer oil poured in, steps once.
func TestAStirIsNoOverheating(t *testing.T) {
	s := lit(t)
	s.watch()
	s.to(10*time.Second, 92, 98)
	s.stay(3 * time.Minute)
	s.to(10*time.Second, 90.5, 98)
	s.stay(10 * time.Minute)
	s.quiet(rules.TopUpDue)
}

func TestABathOverTheBoilingPointIsDry(t *testing.T) {
	s := lit(t)
	s.to(10*time.Second, 88, 101.5)
	s.is(rules.BoilingDry, rules.Clear) // a probe on a hot floor, and its error
	s.to(10*time.Second, 88, 104)
	s.is(rules.BoilingDry, rules.Raised)
	s.to(30*time.Second, 88, 124)
	s.fault[sensors.Bath] = sensors.OutOfRange
	s.stay(time.Minute)
	s.is(rules.BoilingDry, rules.Raised)   // too hot to be read is not cured
	s.is(rules.ProbeDoubtful, rules.Clear) // and no fault of the probe
}

// Where water boils at 91.6 °C (2500 m, ISO 2533 and IF97), 96 °C is a dry pan.
func TestDryGoesByTheBoilingPointOfTheDay(t *testing.T) {
	s := newSeries(t)
	s.pressure.Pascal = 74683
	s.do("fill 1.85 kg; charge; light")
	s.to(15*time.Minute, 40, 91)
	s.is(rules.BoilingDry, rules.Clear)
	s.to(time.Minute, 42, 96)
	s.is(rules.BoilingDry, rules.Raised)
}

// A probe in air falls for minutes; cold water that nobody entered falls faster
// and turns; a bath without heat falls slower.
func TestWhatAFallOfTheBathMeans(t *testing.T) {
	for _, c := range []struct {
		name string
		fall func(s *series)
		want rules.Level
	}{
		{"in air over a dry pan", func(s *series) { s.to(150*time.Second, 87, 78) }, rules.Raised},
		{"lifted into the room", func(s *series) {
			s.to(45*time.Second, 88, 55)
			s.to(45*time.Second, 88, 38)
			s.to(50*time.Second, 88, 28)
		}, rules.Raised},
		{"half a litre of cold water", func(s *series) {
			s.to(30*time.Second, 88, 76)
			s.to(4*time.Minute, 86, 88)
		}, rules.Clear},
		{"the heat went out", func(s *series) { s.to(4*time.Minute, 86, 88) }, rules.Clear},
		{"turned down", func(s *series) { s.to(2*time.Minute, 88, 95) }, rules.Clear},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := lit(t)
			s.stay(5 * time.Minute) // the top-up that was entered is past
			c.fall(s)
			s.is(rules.BoilingDry, c.want)
		})
	}
}

func TestAProbePutBackIsDryNoMore(t *testing.T) {
	s := lit(t)
	s.stay(5 * time.Minute)
	s.to(150*time.Second, 87, 70)
	s.is(rules.BoilingDry, rules.Raised)
	s.to(time.Minute, 87, 98)
	s.stay(2 * time.Minute)
	s.is(rules.BoilingDry, rules.Raised) // a dry pan passes here on its way up
	s.stay(2 * time.Minute)
	s.is(rules.BoilingDry, rules.Clear)
}

func TestAPanLeftOnTheFlameAfterStrainingIsDry(t *testing.T) {
	s := lit(t)
	s.do("strain")
	s.to(20*time.Minute, 60, 98)
	s.is(rules.BoilingDry, rules.Clear)
	s.to(10*time.Second, 60, 106)
	s.is(rules.BoilingDry, rules.Raised)
}

func TestOilThatSagsBehindASteadyBathMeansABareDish(t *testing.T) {
	s := lit(t)
	s.stay(10 * time.Minute)
	s.is(rules.DishBare, rules.Clear)
	s.to(15*time.Minute, 84, 98)
	s.is(rules.DishBare, rules.Raised)
	s.do("top-up 0.5 kg")
	s.frame()
	s.is(rules.DishBare, rules.Clear)
}

func TestASlowRiseOrABathTurnedDownIsNoBareDish(t *testing.T) {
	s := lit(t)
	s.watch()
	s.to(20*time.Minute, 90, 98)
	s.to(2*time.Minute, 90, 96) // turned down
	s.to(15*time.Minute, 88.5, 96)
	s.quiet(rules.TopUpDue)
}
