package pin_test

import (
	"testing"

	"bainward/daemon/phone/pin"
	"bainward/rules/alarm"
)

// What is answered still stands; what is shelved or normal shows nothing.
func TestStandingTellsWhatWaitsFromWhatStands(t *testing.T) {
	none, high := pin.None, pin.MarkOf(alarm.High)
	for state, want := range map[alarm.State]pin.Standing{
		alarm.Normal:                 {},
		alarm.Unacknowledged:         {Unanswered: high, Open: high},
		alarm.Acknowledged:           {Unanswered: none, Open: high},
		alarm.ReturnedUnacknowledged: {Unanswered: high, Open: high},
		alarm.LatchedUnacknowledged:  {Unanswered: high, Open: high},
		alarm.LatchedAcknowledged:    {Unanswered: none, Open: high},
		alarm.Shelved:                {},
		alarm.SuppressedByDesign:     {},
		alarm.OutOfService:           {},
	} {
		if got := (pin.Standing{}).With(state, alarm.High); got != want {
			t.Errorf("%s: %+v, want %+v", state, got, want)
		}
	}
}

// Of several alarms the gravest is shown, in whatever order they come.
func TestTheGravestIsShown(t *testing.T) {
	s := stands(alarm.Medium).With(alarm.Acknowledged, alarm.Critical).With(alarm.Unacknowledged, alarm.Low)
	if s.Unanswered != pin.MarkOf(alarm.Medium) || s.Open != pin.MarkOf(alarm.Critical) {
		t.Errorf("unanswered %s, open %s", s.Unanswered, s.Open)
	}
	if p, ok := pin.None.Priority(); ok || pin.None.String() != "none" {
		t.Errorf("no alarm has priority %s", p)
	}
}
