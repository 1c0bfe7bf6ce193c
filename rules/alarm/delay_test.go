package alarm_test

import (
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
)

// An alarm comes when its finding has lasted for the on-delay, not a second
// before; it goes likewise with the off-delay.
func TestDelaysAtTheirEdges(t *testing.T) {
	for id := range rules.IDCount {
		t.Run(id.String(), func(t *testing.T) {
			r := alarm.Of(id)
			d := newDesk(t, id)
			// The first reading starts the delay, so that n+1 of them last n seconds.
			d.says(rules.Raised, r.OnDelay)
			d.is(alarm.Normal)
			d.says(rules.Raised, time.Second)
			d.is(alarm.Unacknowledged)
			d.says(rules.Clear, r.OffDelay)
			d.is(alarm.Unacknowledged)
			d.says(rules.Clear, time.Second)
			if d.book.State(id) == alarm.Unacknowledged {
				t.Errorf("it still stands %s after its cause went", r.OffDelay)
			}
		})
	}
}

// A rule that cannot judge neither makes an alarm nor ends one.
func TestNotEvaluatedHoldsAnAlarm(t *testing.T) {
	d := newDesk(t, rules.BoilingDry)
	d.says(rules.NotEvaluated, time.Hour)
	d.is(alarm.Normal)
	d.comes()
	d.says(rules.NotEvaluated, time.Hour)
	d.is(alarm.Unacknowledged)
	d.does(alarm.Acknowledge)
	d.says(rules.NotEvaluated, time.Hour)
	d.is(alarm.Acknowledged)
}

// A bath probe that answers every other second must still tell a dry pan.
func TestAFlickeringProbeDoesNotKeepAnAlarmAway(t *testing.T) {
	d := newDesk(t, rules.BoilingDry)
	for range 3 {
		d.says(rules.Raised, time.Second)
		d.says(rules.NotEvaluated, time.Second)
	}
	d.is(alarm.Unacknowledged)
}

// Chattering is three and more annunciations in a minute (ISA-18.2). A finding
// that comes and goes each second makes none, and holds one that stands.
func TestChatteringIsDamped(t *testing.T) {
	for id := range rules.IDCount {
		if alarm.Of(id).OnDelay == 0 {
			continue // a fact does not chatter; its rule keeps it
		}
		d := newDesk(t, id)
		for range 60 {
			d.says(rules.Raised, time.Second)
			d.says(rules.Clear, time.Second)
		}
		d.is(alarm.Normal)
		d.comes()
		for range 60 {
			d.says(rules.Clear, time.Second)
			d.says(rules.Raised, time.Second)
			d.is(alarm.Unacknowledged)
		}
	}
}

// A dry pan gains 1 to 2 K a second, so that the 60 s with which ISA-18.2 starts
// a temperature would cost a hundred kelvin. The grave ones wait less, and every
// rationale says why.
func TestRationales(t *testing.T) {
	for id := range rules.IDCount {
		r := alarm.Of(id)
		if r.Why == "" {
			t.Errorf("%s: nobody wrote down why", id)
		}
		if r.OnDelay > time.Minute || r.Priority == alarm.Critical && r.OnDelay > 5*time.Second {
			t.Errorf("%s is %s and waits %s", id, r.Priority, r.OnDelay)
		}
		if r.Latched != (r.Priority == alarm.Critical) {
			t.Errorf("%s: what may burn, and only that, stays until somebody has seen it", id)
		}
	}
}
