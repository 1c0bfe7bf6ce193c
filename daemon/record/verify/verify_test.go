package verify

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"bainward/daemon/record"
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

// A record that nobody changed has nothing wrong with it, whoever wrote it.
func TestASoundRecordIsClean(t *testing.T) {
	for name, k := range soundRecords(t) {
		r := verified(t, k.path, Options{Version: "test", Key: k.key()})
		if !r.Clean || len(r.Findings) > 0 {
			t.Errorf("%s: %+v", name, r.Findings)
		}
		n := r.Totals
		if n.Readings != 516 || n.Batches != 3 || n.Checkpoints != 5 || len(n.Keys) != 2 || n.Followed < 100 || n.Leaves == 0 || n.OpenReadings != 0 {
			t.Errorf("%s: totals %+v", name, n)
		}
	}
}

// The daemon's writer and the scribe, who knows the format from its description
// alone, make the same leaves of the same day, but for what chance is in the keys.
// How much goes into a block is up to the writer.
func TestTwoWritersMakeTheSameLeaves(t *testing.T) {
	l := newLedger(t)
	aDay(t, l)
	s := newScribe(t, t.TempDir())
	daemon, begins := blocksIn(t, l.close().path)
	s.begins = begins
	aDay(t, s)
	s.close()
	scribe, _ := blocksIn(t, s.path)
	if len(daemon) < 10 || !slices.Equal(daemon, scribe) {
		t.Errorf("%d and %d blocks, or others", len(daemon), len(scribe))
	}
	var lines [2][]string
	for i, path := range []string{l.path, s.path} {
		for _, e := range entriesIn(t, path) {
			if e.Kind != record.KindKey && e.Kind != record.KindCheckpoint {
				lines[i] = append(lines[i], fmt.Sprintf("%+v", e))
			}
		}
	}
	if len(lines[0]) < 500 || !slices.Equal(lines[0], lines[1]) {
		t.Errorf("%d and %d entries, or others", len(lines[0]), len(lines[1]))
	}
}

// blocksIn returns the line of every block, and the numbers at which they begin.
func blocksIn(t testing.TB, path string) (lines []string, begins map[int64]bool) {
	t.Helper()
	o := must(open(t.Context(), path))
	defer o.close()
	r := must(openRows(t.Context(), o.db, must(readBaths(t.Context(), o.db))))
	defer r.close()
	begins = map[int64]bool{}
	var in inflater
	for next := (row{}); r.next(&next); {
		if next.isBlock {
			begins[next.block.first] = true
			lines = append(lines, string(must(next.block.line(&in))))
		}
	}
	return lines, begins
}
