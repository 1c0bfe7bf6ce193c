package app

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/alarm"
)

func void(k *kitchen, entry int64) error {
	return k.app.Void(k.t.Context(), "north", entry, "a slip", "maker")
}

func TestAMistakenStrainIsTakenBack(t *testing.T) {
	k := newKitchen(t)
	k.hold()
	hold := k.bath().Rules.Hold()
	k.did("strain")
	if s := k.bath().Alarms.State(rules.TooShort); s != alarm.Unacknowledged {
		t.Fatalf("too-short is %s after a strain that came too early", s)
	}
	k.pollFor(time.Minute)
	if err := void(k, k.entry("strain")); err != nil {
		t.Fatal(err)
	}
	if p := k.bath().Rules.Phase(); p != rules.Holding {
		t.Errorf("the batch is %s, want holding", p)
	}
	if s := k.bath().Alarms.State(rules.TooShort); s != alarm.ReturnedUnacknowledged {
		t.Errorf("too-short is %s, want returned", s)
	}
	if got := k.bath().Rules.Hold(); got != hold+time.Minute {
		t.Errorf("the hold is %v, want %v: the dish stood in its bath all along", got, hold+time.Minute)
	}
	if v := k.bath().Rules.Verdict(); v != rules.Open {
		t.Errorf("the verdict is %s, want open", v)
	}
	if all := k.entries(); all[len(all)-1].Kind == record.KindReading || k.count(record.KindCorrection) != 1 {
		t.Error("the correction is not in the record")
	}
	checkRefold(t, k.entries())
}

func TestOnlyAnEventOfTheBatchInHandIsTakenBackAndOnce(t *testing.T) {
	k := newKitchen(t)
	k.did("note before any batch")
	k.hold()
	k.did("top-up 0.3 kg")
	topUp := k.entry("top-up 0.3 kg")
	if err := void(k, topUp); err != nil {
		t.Fatal(err)
	}
	entries := len(k.entries())
	for what, refused := range map[string]struct {
		entry int64
		want  string
	}{
		"again":                {topUp, "was taken back already"},
		"a reading":            {topUp - 1, "only an event of the batch in hand"},
		"before the batch":     {k.entry("note before any batch"), "only an event of the batch in hand"},
		"its own correction":   {topUp + 1, "only an event of the batch in hand"},
		"a number to come":     {int64(entries) + 100, "only an event of the batch in hand"},
		"a number of no entry": {0, "only an event of the batch in hand"},
	} {
		if err := void(k, refused.entry); err == nil || !strings.Contains(err.Error(), refused.want) {
			t.Errorf("%s: got %v, want %q", what, err, refused.want)
		}
	}
	if err := k.app.Void(t.Context(), "north", k.entry("light"), "", "maker"); err == nil {
		t.Error("an event was taken back without a reason")
	}
	if err := k.app.Void(t.Context(), "west", topUp, "a slip", "maker"); err == nil || !strings.Contains(err.Error(), "no such bath") {
		t.Errorf("at another bath: %v", err)
	}
	if n := len(k.entries()); n != entries {
		t.Errorf("%d entries were written by what was refused", n-entries)
	}
}

func TestABatchStaysOpenForAnHourAfterBottling(t *testing.T) {
	k := newKitchen(t)
	k.hold()
	k.pollFor(30 * time.Minute)
	k.did("strain; bottle 640 ml")
	first := k.batch()
	k.pollFor(50 * time.Minute)
	if k.batch() != first || k.bath().Rules.Phase() != rules.Bottled {
		t.Fatalf("fifty minutes after bottling batch %q is open and %s", k.batch(), k.bath().Rules.Phase())
	}
	if err := void(k, k.entry("bottle 640 ml")); err != nil {
		t.Fatal(err)
	}
	if p := k.bath().Rules.Phase(); p != rules.Cooling {
		t.Errorf("with the bottle taken back the batch is %s, want cooling", p)
	}
	k.did("bottle 640 ml")
	bottled := k.entry("bottle 640 ml")
	k.pollFor(61 * time.Minute)
	if k.batch() != "" {
		t.Errorf("an hour after bottling batch %q is open", k.batch())
	}
	if err := void(k, bottled); err == nil || !strings.Contains(err.Error(), "write a note instead") {
		t.Errorf("taking back a bottle of a closed batch gives %v", err)
	}
	closed := lastBatch(k)
	if closed.State != record.Closed || closed.Number != first || closed.Verdict != "held" || closed.Recipe != "ribwort" {
		t.Errorf("the record says %+v, want %s closed, held", closed, first)
	}
	checkRefold(t, k.entries())
}

func lastBatch(k *kitchen) record.Batch {
	k.t.Helper()
	e, ok, err := k.app.record.LastOf(k.t.Context(), "north", record.KindBatch)
	if err != nil || !ok {
		k.t.Fatalf("no batch in the record: %v", err)
	}
	var b record.Batch
	if err := e.Decode(&b); err != nil {
		k.t.Fatal(err)
	}
	return b
}

func TestEachBatchHasTheNextNumber(t *testing.T) {
	k := newKitchen(t)
	for n := range 4 {
		k.did("fill 1.8 kg; charge; light")
		k.poll(time.Second)
		if want := fmt.Sprintf("2026-03-01-north-%d", n+1); k.batch() != want || k.shown().Batch != want {
			t.Errorf("batch %d is called %q and shown as %q, want %q", n+1, k.batch(), k.shown().Batch, want)
		}
		k.did("abandon")
		if n == 1 { // neither a restart nor a clock that is set makes it give one twice
			k.restart(time.Second)
		}
		if n == 2 {
			k.clock = -time.Hour
		}
	}
	checkRefold(t, k.entries())
}

func TestABatchOpenedByMistakeIsClosedWithoutAVerdict(t *testing.T) {
	k := newKitchen(t)
	k.pollFor(2 * time.Hour)
	k.did("fill 1.8 kg")
	if err := void(k, k.entry("fill 1.8 kg")); err != nil {
		t.Fatal(err)
	}
	k.pollFor(time.Minute)
	k.did("fill 1.8 kg; light")
	if k.batch() != "2026-03-01-north-2" {
		t.Errorf("the batch is %q, want the second number", k.batch())
	}
	k.restart(time.Second)
	if k.batch() != "2026-03-01-north-2" || k.bath().Rules.Phase() != rules.Heating {
		t.Errorf("after a restart batch %q is %s", k.batch(), k.bath().Rules.Phase())
	}
	checkRefold(t, k.entries())
}

func TestTheNextRecipeDoesNotRenameTheBatchBefore(t *testing.T) {
	k := newKitchen(t)
	k.hold()
	k.did("strain; bottle 600 ml")
	if err := k.app.Recipe(t.Context(), "north", "marigold", "Robin"); err != nil {
		t.Fatal(err)
	}
	if b := lastBatch(k); b.State != record.Closed || b.Recipe != "ribwort" || b.Verdict != "short" {
		t.Errorf("the record says of the first batch %+v, want it closed as ribwort, short", b)
	}
	k.did("fill 1.8 kg")
	if b := lastBatch(k); b.State != record.Opened || b.Recipe != "marigold" {
		t.Errorf("the record says of the second batch %+v, want it opened as marigold", b)
	}
	checkRefold(t, k.entries())
}

func TestAnAlarmStaysOutOfServiceFromBatchToBatchAndOverARestart(t *testing.T) {
	k := newKitchen(t)
	out := alarm.Command{Alarm: rules.ProbeDoubtful, Action: alarm.PutOutOfService, Reason: "a poor contact"}
	if err := k.app.Alarm(t.Context(), "north", out, "maker"); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		k.did("fill 1.8 kg; light")
		k.poll(time.Second)
		k.restart(time.Second)
		if s := k.bath().Alarms.State(rules.ProbeDoubtful); s != alarm.OutOfService {
			t.Fatalf("in batch %s after a restart the alarm is %s", k.batch(), s)
		}
		k.did("abandon")
	}
	back := alarm.Command{Alarm: rules.ProbeDoubtful, Action: alarm.ReturnToService}
	if err := k.app.Alarm(t.Context(), "north", back, "maker"); err != nil {
		t.Fatal(err)
	}
	k.restart(time.Second)
	if s := k.bath().Alarms.State(rules.ProbeDoubtful); s != alarm.Normal {
		t.Errorf("returned to service, the alarm is %s", s)
	}
	checkRefold(t, k.entries())
}
