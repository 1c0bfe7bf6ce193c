package rules_test

import (
	"testing"
	"time"

	"bainward/rules"
	"bainward/sensors"
)

// enterNoticed enters what the readings show, as whoever feeds the inputs does.
func (s *series) enterNoticed() bool {
	k := s.s.Noticed()
	if k == rules.NoEvent {
		return false
	}
	s.s, _ = rules.Step(s.cfg, s.s, rules.OfEvent(s.at, rules.Event{Kind: k}))
	return true
}

func TestHeatThatNobodyEnteredIsNoticed(t *testing.T) {
	s := newSeries(t)
	s.stay(10 * time.Minute)
	if s.s.Noticed() != rules.NoEvent {
		t.Fatal("a cold pan passes for lit")
	}
	for s.bath < 60 {
		s.to(5*time.Second, s.oil, s.bath+0.4)
		if s.enterNoticed() {
			break
		}
	}
	if s.s.Phase() != rules.Heating || s.bath > 50 {
		t.Errorf("at %.1f °C the phase is %s", s.bath, s.s.Phase())
	}
}

func TestABathThatIsHotWhenTheWatchBeginsIsLit(t *testing.T) {
	s := newSeries(t)
	s.oil, s.bath = 85, 97
	s.frame()
	if s.s.Noticed() != rules.Light {
		t.Errorf("97 °C at the first look: noticed %s", s.s.Noticed())
	}
}

func TestWaterFromTheKettleIsNoLitHob(t *testing.T) {
	s := newSeries(t)
	s.stay(10 * time.Minute)
	s.do("fill 1.85 kg; charge")
	for range 60 {
		s.to(20*time.Second, s.oil+0.1, 75)
		if s.s.Noticed() != rules.NoEvent {
			t.Fatalf("after %s it passes for lit", s.at)
		}
	}
}

func TestABatchEndsAndTheNextBeginsWithNothingOfIt(t *testing.T) {
	s := lit(t)
	s.do("strain; bottle 700 ml")
	s.is(rules.TooShort, rules.Raised)
	s.is(rules.WarmBottling, rules.Raised)
	if s.s.Phase() != rules.Bottled || s.s.Begun() {
		t.Errorf("after bottling: %s, begun %t", s.s.Phase(), s.s.Begun())
	}
	s.to(time.Minute, 60, 40)
	s.do("fill 1.85 kg; charge")
	s.frame()
	for id := range rules.IDCount {
		if s.level(id) == rules.Raised {
			t.Errorf("%s haunts the next batch: %s", id, s.says(id))
		}
	}
	if s.s.Hold() != 0 || s.s.HoldOfBatch() != 0 || s.s.TopUps() != 0 || s.s.Verdict() != rules.Open || s.s.Pass() != 1 {
		t.Errorf("the next batch begins with hold %s, %d top-ups, %s, as maceration %d", s.s.Hold(), s.s.TopUps(), s.s.Verdict(), s.s.Pass())
	}
	if _, seen := s.s.OilMax(); seen {
		t.Error("the next batch begins with the old one's highest oil")
	}
}

func TestABatchThatIsDoneIsNotSpoiledAfterwards(t *testing.T) {
	s := lit(t)
	s.stay(2 * time.Hour)
	s.do("strain")
	s.to(time.Hour, 22, 30)
	s.do("bottle")
	s.to(10*time.Minute, 104, 30) // the probe is boiled clean
	if s.s.Verdict() != rules.Held {
		t.Errorf("the verdict turned to %s", s.s.Verdict())
	}
}

func TestBottlingGoesByTheRoom(t *testing.T) {
	for _, c := range []struct {
		oil, room float64
		fault     sensors.Fault
		want      rules.Level
	}{
		{23.9, 21, sensors.NoFault, rules.Clear},
		{25, 21, sensors.NoFault, rules.Raised},
		{33, 31, sensors.NoFault, rules.Clear},
		{26, 0, sensors.NotFitted, rules.Clear}, // without a room probe: 24 °C and 3 K
		{28, 0, sensors.NotFitted, rules.Raised},
	} {
		s := lit(t)
		s.stay(2 * time.Hour)
		s.do("strain")
		s.room, s.fault[sensors.Room] = c.room, c.fault
		s.to(time.Hour, c.oil, 30)
		s.do("bottle")
		s.frame()
		s.is(rules.WarmBottling, c.want)
	}
	s := lit(t)
	s.do("strain")
	s.fault[sensors.Oil] = sensors.Absent
	s.stay(time.Minute)
	s.do("bottle")
	s.is(rules.WarmBottling, rules.NotEvaluated) // nobody knows
}

func TestAnAbandonedBatchIsSpoiled(t *testing.T) {
	s := lit(t)
	s.do("abandon")
	if s.s.Verdict() != rules.Spoiled || s.s.Phase() != rules.Abandoned || s.s.Begun() {
		t.Errorf("%s, %s, begun %t", s.s.Verdict(), s.s.Phase(), s.s.Begun())
	}
}

func TestABatchGoesThroughItsPhases(t *testing.T) {
	s := newSeries(t)
	want := func(p rules.Phase) {
		t.Helper()
		if s.s.Phase() != p {
			t.Fatalf("after %s the phase is %s, want %s", s.at, s.s.Phase(), p)
		}
	}
	want(rules.Idle)
	s.do("fill 1.85 kg; charge")
	want(rules.Idle)
	s.do("light")
	want(rules.Heating)
	s.to(15*time.Minute, 40, 98)
	s.to(20*time.Minute, 88, 98)
	want(rules.Holding)
	s.do("strain")
	want(rules.Straining)
	s.to(10*time.Minute+time.Second, 80, 90)
	want(rules.Settling)
	s.to(20*time.Minute+time.Second, 60, 70)
	want(rules.Cooling)
	s.do("bottle")
	want(rules.Bottled)
	s.do("fill 1 kg")
	want(rules.Idle)
}

func TestTheFloorFollowsThePressure(t *testing.T) {
	s := newSeries(t)
	s.frame()
	if floor, _ := s.s.Bounds(s.cfg); floor < 84.9 || floor > 85.1 {
		t.Errorf("at sea level the floor is %.2f °C, want 85.0", floor)
	}
	s.pressure.Pascal = 74683 // ISO 2533 at 2500 m: 91.645 °C
	s.frame()
	if floor, _ := s.s.Bounds(s.cfg); floor < 76.6 || floor > 76.7 {
		t.Errorf("at 2500 m the floor is %.2f °C, want 76.6", floor)
	}
	s.pressure = sensors.Pressure{Fault: sensors.Stale}
	s.stay(9 * time.Minute)
	if _, measured, _ := s.s.Air(); !measured {
		t.Error("a barometer silent for nine minutes is forgotten")
	}
	s.stay(2 * time.Minute)
	if pascal, measured, _ := s.s.Air(); measured || pascal != 101325 {
		t.Errorf("after eleven minutes: %d Pa, measured %t; want the elevation's", pascal, measured)
	}
}
