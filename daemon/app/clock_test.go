package app

import (
	"testing"
	"time"

	"bainward/daemon/record"
)

// steps returns how far the clock entries say that the wall clock was set.
func steps(k *kitchen) []time.Duration {
	k.t.Helper()
	var all []time.Duration
	for _, e := range k.entries() {
		var b record.Clock
		if e.Kind == record.KindClock {
			if err := e.Decode(&b); err != nil {
				k.t.Fatal(err)
			}
			all = append(all, b.Step)
		}
	}
	return all
}

func TestSettingTheClockIsRecordedAndChangesNothing(t *testing.T) {
	still, moved := newKitchen(t), newKitchen(t)
	still.hold()
	moved.hold()
	for i, set := range []time.Duration{0, 56 * 365 * 24 * time.Hour, -3 * time.Hour, time.Second} {
		moved.clock += set
		still.pollFor(time.Minute)
		moved.pollFor(time.Minute)
		if got, want := moved.bath().Rules.Hold(), still.bath().Rules.Hold(); got != want {
			t.Errorf("after setting %d the hold is %v, want %v", i, got, want)
		}
	}
	sameBath(t, moved, still)
	got := steps(moved)
	if len(got) != 2 || got[0] != 56*365*24*time.Hour || got[1] != -3*time.Hour {
		t.Errorf("the record says that the clock was set by %v, want 56 years and -3 h: a second is no setting", got)
	}
	if n := len(steps(still)); n != 0 {
		t.Errorf("the other record has %d clock entries", n)
	}
	if a, b := moved.batch(), still.batch(); a != b {
		t.Errorf("the batch is %s, want %s: a number once given stays", a, b)
	}
}

func TestAClockSetWhileTheDiskWasFullIsRecordedAfterwards(t *testing.T) {
	k := newKitchen(t)
	k.pollFor(time.Minute)
	mend := breakDisk(k)
	k.clock += time.Hour
	k.pollFor(time.Minute)
	mend()
	k.pollFor(time.Minute)
	if got := steps(k); len(got) != 1 || got[0] != time.Hour {
		t.Errorf("the record says that the clock was set by %v, want an hour, once", got)
	}
}
