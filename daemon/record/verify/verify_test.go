package verify

import (
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
)

// aDay is a small day at the yard: two baths, three batches, a key rotation,
// several checkpoints, a correction, alarms that people answered, two restarts.
func aDay(t testing.TB, b book) *yard {
	t.Helper()
	y := newYard(t, b, "north", "south")
	y.raw("", "key", `{"vkey":""}`)
	y.start("test")
	y.checkpoint()
	y.poll(10*time.Second, time.Minute)
	y.did(0, "fill 1.85 kg; charge 220 g; light")
	y.poll(10*time.Second, 10*time.Minute)
	y.did(1, "fill 1.8 kg; light")
	y.poll(10*time.Second, 20*time.Minute)
	y.checkpoint()
	y.did(0, "top-up 0.3 kg")
	mistaken := y.last[0].Seq
	y.poll(10*time.Second, 2*time.Minute)
	y.takesBack(0, mistaken)
	y.at += 20 * time.Second
	y.restart("test")
	y.write()
	y.raw("", "key", `{"vkey":""}`)
	y.write()
	y.checkpoint()
	y.poll(10*time.Second, 5*time.Minute)
	y.did(0, "strain")
	y.does(0, alarm.Command{Alarm: rules.TooShort, Action: alarm.Acknowledge})
	y.poll(10*time.Second, time.Minute)
	y.did(0, "bottle 640 ml")
	y.did(1, "abandon")
	y.did(0, "fill 1.85 kg; light")
	y.poll(10*time.Second, 3*time.Minute)
	y.did(0, "abandon")
	y.closeBatch(y.baths[0])
	y.closeBatch(y.baths[1])
	y.write()
	y.checkpoint()
	y.at += 20 * time.Second
	y.restart("test")
	y.write()
	y.poll(10*time.Second, time.Minute)
	y.raw("", "stop", `{}`)
	y.write()
	y.checkpoint()
	return y
}

func (y *yard) checkpoint() {
	y.raw("", "checkpoint", `{"note":"","why":"asked"}`)
	y.write()
}

// verified verifies a record and fails the test if it could not be done.
func verified(t testing.TB, path string, o Options) Report {
	t.Helper()
	r, err := Folder(t.Context(), path, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// A record that nobody changed has nothing wrong with it.
func TestASoundRecordIsClean(t *testing.T) {
	s := newScribe(t, t.TempDir())
	aDay(t, s)
	path := s.close()
	r := verified(t, path, Options{Version: "test", Key: s.vkey})
	for _, f := range r.Findings {
		t.Errorf("%+v", f)
	}
	t.Logf("%+v", r.Notes)
	t.Logf("%+v", r.Totals)
}
