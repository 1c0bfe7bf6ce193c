package alarm_test

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"bainward/rules"
	"bainward/rules/alarm"
)

func TestWhatIsRefusedSaysWhy(t *testing.T) {
	shelve := alarm.Command{Action: alarm.Shelve, For: time.Minute, Reason: "why not"}
	out := alarm.Command{Action: alarm.PutOutOfService, Reason: "no probe"}
	for _, c := range []struct {
		name   string
		before func(d *desk)
		order  alarm.Command
		want   string
	}{
		{"nothing to acknowledge", func(*desk) {}, alarm.Command{Action: alarm.Acknowledge}, "acknowledge boiling-dry: it is normal, there is nothing to acknowledge"},
		{"acknowledged twice", func(d *desk) { d.comes(); d.does(alarm.Acknowledge) }, alarm.Command{Action: alarm.Acknowledge}, "acknowledge boiling-dry: it is acknowledged, there is nothing to acknowledge"},
		{"acknowledged on the shelf", func(d *desk) { d.does(alarm.Shelve) }, alarm.Command{Action: alarm.Acknowledge}, "acknowledge boiling-dry: it is shelved, there is nothing to acknowledge"},
		{"reset while it stands", func(d *desk) { d.comes() }, alarm.Command{Action: alarm.Reset}, "reset boiling-dry: it is unacknowledged; only a latched alarm that was acknowledged can be reset"},
		{"reset unseen", func(d *desk) { d.comes(); d.goes() }, alarm.Command{Action: alarm.Reset}, "reset boiling-dry: it is latched-unacknowledged; only a latched alarm that was acknowledged can be reset"},
		{"shelved for no time", func(*desk) {}, alarm.Command{Action: alarm.Shelve, Reason: "x"}, "shelve boiling-dry: shelve it for 1 s to 30m0s, not 0s"},
		{"shelved for a moment", func(*desk) {}, alarm.Command{Action: alarm.Shelve, For: time.Second - 1, Reason: "x"}, "shelve boiling-dry: shelve it for 1 s to 30m0s, not 999.999999ms"},
		{"shelved too long", func(*desk) {}, alarm.Command{Action: alarm.Shelve, For: alarm.MaxShelf + 1, Reason: "x"}, "shelve boiling-dry: shelve it for 1 s to 30m0s, not 30m0.000000001s"},
		{"shelved without a reason", func(*desk) {}, alarm.Command{Action: alarm.Shelve, For: time.Minute}, "shelve boiling-dry: say why"},
		{"shelved again", func(d *desk) { d.does(alarm.Shelve) }, shelve, "shelve boiling-dry: it is shelved"},
		{"shelved out of service", func(d *desk) { d.does(alarm.PutOutOfService) }, shelve, "shelve boiling-dry: it is out-of-service"},
		{"shelved while suppressed", func(d *desk) { d.silent = true; d.goes() }, shelve, "shelve boiling-dry: it is suppressed-by-design"},
		{"unshelved off the shelf", func(*desk) {}, alarm.Command{Action: alarm.Unshelve}, "unshelve boiling-dry: it is normal, not shelved"},
		{"out of service without a reason", func(*desk) {}, alarm.Command{Action: alarm.PutOutOfService}, "out-of-service boiling-dry: say why"},
		{"out of service twice", func(d *desk) { d.does(alarm.PutOutOfService) }, out, "out-of-service boiling-dry: it is out-of-service"},
		{"returned from nowhere", func(*desk) {}, alarm.Command{Action: alarm.ReturnToService}, "return-to-service boiling-dry: it is normal"},
		{"no action", func(*desk) {}, alarm.Command{}, " boiling-dry: unknown action"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := newDesk(t, rules.BoilingDry)
			c.before(d)
			before := d.book
			err := d.order(c.order)
			if err == nil || err.Error() != c.want {
				t.Errorf("got %v, want %s", err, c.want)
			}
			if d.book != before || len(d.last) != 0 {
				t.Error("what was refused changed something")
			}
		})
	}
}

func TestTheLongestShelfIsGranted(t *testing.T) {
	d := newDesk(t, rules.TopUpDue)
	if err := d.order(alarm.Command{Action: alarm.Shelve, For: alarm.MaxShelf, Reason: "kettle is on"}); err != nil {
		t.Error(err)
	}
	var b alarm.Book
	err := b.Do(0, alarm.Command{Alarm: rules.IDCount, Action: alarm.Acknowledge}, &alarm.Changes{})
	if err == nil || err.Error() != "acknowledge: no such alarm" {
		t.Errorf("an alarm that does not exist: %v", err)
	}
}

func TestWordsGoThereAndBack(t *testing.T) {
	for a := alarm.Acknowledge; a <= alarm.ReturnToService; a++ {
		if got, ok := alarm.ParseAction(a.String()); !ok || got != a {
			t.Errorf("%q is read as %v", a, got)
		}
	}
	for _, word := range []string{"", "silence", "unknown-action"} {
		if _, ok := alarm.ParseAction(word); ok {
			t.Errorf("%q passes for an action", word)
		}
	}
	// The words of the design, which programs read.
	for s, want := range map[alarm.State]string{
		alarm.Normal: "normal", alarm.Unacknowledged: "unacknowledged", alarm.Acknowledged: "acknowledged",
		alarm.ReturnedUnacknowledged: "returned-unacknowledged", alarm.Shelved: "shelved",
		alarm.SuppressedByDesign: "suppressed-by-design", alarm.OutOfService: "out-of-service",
	} {
		if s.String() != want {
			t.Errorf("state %d is %q, want %q", s, s, want)
		}
	}
}

// Whatever rules say and people do: an alarm that stands, long enough and
// neither shelved, suppressed nor out of service, is open; and an alarm never
// opens without a cause.
func TestAStandingCauseIsAlwaysOpen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		id := rules.ID(rapid.IntRange(0, int(rules.IDCount)-1).Draw(t, "alarm"))
		var b alarm.Book
		var found rules.Findings
		var stands time.Duration
		ever := false
		for i := range rapid.IntRange(1, 300).Draw(t, "seconds") {
			at := time.Duration(i) * time.Second
			if rapid.IntRange(0, 9).Draw(t, "act") == 0 {
				_ = b.Do(at, alarm.Command{
					Alarm: id, Action: alarm.Action(rapid.IntRange(0, 7).Draw(t, "action")),
					For: time.Duration(rapid.IntRange(0, 2000).Draw(t, "for")) * time.Second, Reason: "x",
				}, &alarm.Changes{}) // refusals are part of life
			}
			if rapid.IntRange(0, 19).Draw(t, "turn") == 0 {
				found[id].Level = rules.Level(rapid.IntRange(0, 2).Draw(t, "level"))
			}
			silent := rapid.IntRange(0, 19).Draw(t, "silent") == 0
			if stands += time.Second; found[id].Level != rules.Raised || silent {
				stands = 0
			}
			ever = ever || found[id].Level == rules.Raised
			b.Step(at, &found, func(rules.ID) bool { return silent }, &alarm.Changes{})
			s := b.State(id)
			away := s == alarm.Shelved || s == alarm.SuppressedByDesign || s == alarm.OutOfService
			if stands > alarm.Of(id).OnDelay+time.Second && !away && !s.Open() {
				t.Fatalf("%s has stood for %s and is %s", id, stands, s)
			}
			if s.Open() && !ever {
				t.Fatalf("%s is %s and was never raised", id, s)
			}
		}
	})
}
