package app

import (
	"database/sql"
	"path/filepath"
	"strings"
	"testing"
	"time"

	_ "modernc.org/sqlite" // the record's own driver

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/sensors"
)

// breakDisk makes every write of a reading or an event fail, as a disk does
// that is full, until it is mended.
func breakDisk(k *kitchen) (mend func()) {
	k.t.Helper()
	db, err := sql.Open("sqlite", filepath.Join(k.dir, "record.db"))
	if err != nil {
		k.t.Fatal(err)
	}
	do := func(q string) {
		if _, err := db.Exec(q); err != nil {
			k.t.Fatal(err)
		}
	}
	const refuse = " BEGIN SELECT RAISE(ROLLBACK, 'no room'); END"
	do("CREATE TRIGGER no_reading BEFORE INSERT ON reading" + refuse)
	do("CREATE TRIGGER no_entry BEFORE INSERT ON entry" + refuse)
	return func() {
		do("DROP TRIGGER no_reading")
		do("DROP TRIGGER no_entry")
		if err := db.Close(); err != nil {
			k.t.Fatal(err)
		}
	}
}

func TestNothingIsAnnouncedThatIsNotRecorded(t *testing.T) {
	k := newKitchen(t)
	k.hold()
	changed, cancel := k.app.Subscribe()
	defer cancel()
	before, batch, log, entries := *k.bath(), k.batch(), len(texts(k)), len(k.entries())
	k.told, k.alive = crier{}, 0
	shown := k.shown()

	mend := breakDisk(k)
	k.probes.says[bathProbe] = sensors.AtCelsius(115) // a dry pan, which alarms at once
	k.pollFor(time.Minute)
	err := k.app.Event(t.Context(), "north", rules.Event{Kind: rules.Strain}, "maker")
	if err == nil || !strings.Contains(err.Error(), "could not be recorded and does not count") {
		t.Errorf("the strain gives %v, want that it does not count", err)
	}
	shelve := alarm.Command{Alarm: rules.DishBare, Action: alarm.Shelve, For: time.Minute, Reason: "looking"}
	if err := k.app.Alarm(t.Context(), "north", shelve, "maker"); err == nil {
		t.Error("an order was taken that is not in the record")
	}
	if k.told.times != 0 {
		t.Errorf("the broker was told %d times", k.told.times)
	}
	select {
	case <-changed:
		t.Error("the pages were told that something changed")
	default:
	}
	if got := k.shown(); got.At != shown.At || got.Phase != shown.Phase {
		t.Errorf("the pages show %v %s, want what is recorded, %v %s", got.At, got.Phase, shown.At, shown.Phase)
	}
	kept := kitchen{t: t, app: &App{baths: []*bath{{state: before}}}}
	sameBath(t, k, &kept)
	if k.batch() != batch || len(texts(k)) != log || len(k.entries()) != entries {
		t.Error("batch, log or record moved on")
	}
	if k.alive == 0 {
		t.Error("the service manager was left to think that the daemon hangs")
	}

	mend()
	k.pollFor(30 * time.Second)
	if s := k.bath().Alarms.State(rules.BoilingDry); s != alarm.Unacknowledged {
		t.Errorf("with room again the dry pan is %s", s)
	}
	if len(k.told.changes) == 0 || k.told.changes[0].Change.Alarm != rules.BoilingDry {
		t.Errorf("with room again the broker was told %v", k.told.changes)
	}
	checkRefold(t, k.entries())
}

func TestWhatIsAnnouncedIsInTheRecord(t *testing.T) {
	k := newKitchen(t)
	k.hold()
	if k.told.times == 0 || len(k.told.last) != 1 {
		t.Fatalf("announced %d times", k.told.times)
	}
	all := k.entries()
	if got, want := k.told.last[0].At, all[len(all)-1].At; got != want {
		t.Errorf("announced up to %v, recorded up to %v", got, want)
	}
}
