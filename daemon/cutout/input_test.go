package cutout_test

import (
	"testing"

	"bainward/daemon/cutout"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/fold"
	"bainward/sensors"
)

// Every fitted eye must see: a dry pan is told by the bath probe, hot oil by the
// oil probe. The room's does not matter.
func TestAPollSeesTheBathWithEveryFittedProbe(t *testing.T) {
	for _, c := range []struct {
		name      string
		oil, bath sensors.Fault
		want      bool
	}{
		{"both", sensors.NoFault, sensors.NoFault, true},
		{"only the bath is fitted", sensors.NotFitted, sensors.NoFault, true},
		{"only the oil is fitted", sensors.NoFault, sensors.NotFitted, true},
		{"none is fitted", sensors.NotFitted, sensors.NotFitted, false},
		{"the bath is silent", sensors.NoFault, sensors.Absent, false},
		{"the oil is silent", sensors.BadCRC, sensors.NoFault, false},
		{"the only one is silent", sensors.NotFitted, sensors.Stale, false},
	} {
		var s fold.Snapshot
		s.Faults[sensors.Oil], s.Faults[sensors.Bath], s.Faults[sensors.Room] = c.oil, c.bath, sensors.Absent
		if got := cutout.PollOf(s).Seen; got != c.want {
			t.Errorf("%s: seen %t, want %t", c.name, got, c.want)
		}
	}
}

// Only the two alarms that may burn cut the heat.
func TestAPollTakesTheTwoAlarmsThatMayBurn(t *testing.T) {
	for id := range rules.IDCount {
		var s fold.Snapshot
		s.Alarms[id].State = alarm.Unacknowledged
		p := cutout.PollOf(s)
		if (p.Dry == alarm.Unacknowledged) != (id == rules.BoilingDry) || (p.Hot == alarm.Unacknowledged) != (id == rules.Overheating) {
			t.Errorf("%s: dry is %s, hot is %s", id, p.Dry, p.Hot)
		}
	}
}
