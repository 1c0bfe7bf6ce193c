package cutout_test

import (
	"strings"
	"testing"
	"time"

	"bainward/daemon/cutout"
	"bainward/rules"
	"bainward/rules/alarm"
)

var (
	good = cutout.Poll{Seen: true}
	dry  = cutout.Poll{Seen: true, Dry: alarm.Unacknowledged}
)

// history feeds inputs, a second apart, and returns the last verdict.
type history struct {
	s  cutout.State
	at time.Duration
	v  cutout.Verdict
}

func (h *history) then(in cutout.Input) *history {
	h.at += time.Second
	in.At = h.at
	h.s, h.v = cutout.Decide(h.s, in)
	return h
}

func (h *history) polled(p cutout.Poll) *history {
	return h.then(cutout.Input{What: cutout.Polled, Poll: p})
}

func (h *history) reset(who string) *history {
	return h.then(cutout.Input{What: cutout.Reset, Who: who})
}

func (h *history) waits(d time.Duration) *history {
	h.at += d - time.Second
	return h.then(cutout.Input{})
}

// The heat is allowed only while the bath is read and neither alarm stands or is
// hidden; every verdict says why, and that this is no safety device.
func TestTheHeatIsAllowedOnlyWhileAllIsKnownAndWell(t *testing.T) {
	tripped := func(id rules.ID) *history {
		return &history{s: cutout.State{Trip: cutout.Trip{Set: true, Alarm: id}}}
	}
	h := func() *history { return &history{} }
	for _, c := range []struct {
		name  string
		v     cutout.Verdict
		allow bool
		why   string
	}{
		{"nothing happened", h().then(cutout.Input{}).v, false, "the bath has not been read yet"},
		{"blind poll", h().polled(cutout.Poll{}).v, false, "the bath has not been read yet"},
		{"good poll", h().polled(good).v, true, "the bath is read, and is neither dry nor too hot"},
		{"good poll, a moment ago", h().polled(good).waits(cutout.Fresh - 1).v, true, "the bath is read, and is neither dry nor too hot"},
		{"good poll, too long ago", h().polled(good).waits(cutout.Fresh).v, false, "the bath was not read for 10s"},
		{"blind since", h().polled(good).polled(cutout.Poll{}).waits(cutout.Fresh - time.Second).v, false, "the bath was not read for 10s"},
		{"the clock went back", h().polled(good).waits(-time.Minute).v, false, "the bath was not read for 10s"},
		{"dry", h().polled(good).polled(dry).v, false, "boiling-dry cut it; it stays off until somebody resets the cut-out"},
		{"dry in a blind poll", h().polled(good).polled(cutout.Poll{Dry: alarm.Acknowledged}).v, false, "boiling-dry cut it; it stays off until somebody resets the cut-out"},
		{"hot, latched", h().polled(cutout.Poll{Seen: true, Hot: alarm.LatchedAcknowledged}).v, false, "overheating cut it; it stays off until somebody resets the cut-out"},
		{"dry, then hot as well", h().polled(dry).polled(cutout.Poll{Seen: true, Hot: alarm.Unacknowledged}).v, false, "boiling-dry cut it; it stays off until somebody resets the cut-out"},
		{"dry, then well again", h().polled(dry).polled(good).v, false, "boiling-dry cut it; it stays off until somebody resets the cut-out"},
		{"dry, well again, reset", h().polled(dry).polled(good).reset("Robin").v, true, "the bath is read, and is neither dry nor too hot"},
		{"cut before a restart", tripped(rules.Overheating).polled(good).v, false, "overheating cut it; it stays off until somebody resets the cut-out"},
		{"shelved", h().polled(cutout.Poll{Seen: true, Hot: alarm.Shelved}).v, false, "overheating is shelved, so nobody sees whether it stands"},
		{"out of service", h().polled(cutout.Poll{Seen: true, Dry: alarm.OutOfService}).v, false, "boiling-dry is out-of-service, so nobody sees whether it stands"},
		{"back from the shelf", h().polled(cutout.Poll{Seen: true, Hot: alarm.Shelved}).polled(good).v, true, "the bath is read, and is neither dry nor too hot"},
		{"ended", h().polled(good).then(cutout.Input{What: cutout.End}).v, false, "the daemon is ending"},
		{"a poll after the end", h().then(cutout.Input{What: cutout.End}).polled(good).v, false, "the daemon is ending"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.v.Allow != c.allow || c.v.Why != c.why {
				t.Errorf("allowed %t: %s; want %t: %s", c.v.Allow, c.v.Why, c.allow, c.why)
			}
			if !strings.HasSuffix(c.v.String(), "(the cut-out is no substitute for a safety device)") {
				t.Errorf("the caution is missing from %q", c.v)
			}
		})
	}
}

// A reset that is not granted says what to do first, and changes nothing.
func TestAResetIsRefusedWhileAnythingIsWrong(t *testing.T) {
	h := func() *history { return &history{} }
	for _, c := range []struct {
		name   string
		before *history
		who    string
		want   string
	}{
		{"nobody asks", h().polled(dry).polled(good), "", "say who resets it"},
		{"nothing was cut", h().polled(good), "Robin", "nothing is to be reset: no alarm cut the heat"},
		{"it stands", h().polled(dry), "Robin", "boiling-dry still stands: see to the bath, then acknowledge and reset the alarm"},
		{"the other one stands", h().polled(dry).polled(cutout.Poll{Seen: true, Hot: alarm.Acknowledged}), "Robin",
			"overheating still stands: see to the bath, then acknowledge and reset the alarm"},
		{"latched", h().polled(cutout.Poll{Seen: true, Dry: alarm.LatchedUnacknowledged}), "Robin",
			"boiling-dry still stands: see to the bath, then acknowledge and reset the alarm"},
		{"on the shelf", h().polled(dry).polled(cutout.Poll{Seen: true, Dry: alarm.Shelved}), "Robin",
			"boiling-dry is shelved: take it back first, so that it can be seen"},
		{"blind", h().polled(dry).polled(good).waits(cutout.Fresh), "Robin", "the bath was not read for 10s: mend that first"},
		{"ended", h().polled(dry).polled(good).then(cutout.Input{What: cutout.End}), "Robin", "the daemon is ending"},
	} {
		t.Run(c.name, func(t *testing.T) {
			before := c.before.s
			if got := c.before.reset(c.who).v; got.Refused != c.want {
				t.Errorf("got %+v, want it refused: %s", got, c.want)
			}
			if c.before.s != before {
				t.Error("what was refused changed something")
			}
		})
	}
}
