package main

import (
	"context"
	"log/slog"
	"os"
	"path/filepath"
	"testing"
	"time"

	"bainward/daemon/app"
	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/alarm"
)

// storyStep is how far apart the polls of the told story are: near enough for
// every rule, far enough for six hours to pass in seconds.
const storyStep = 4 * time.Second

// tell plays the demo's whole story as fast as it goes and returns its record.
func tell(t *testing.T) []record.Entry {
	t.Helper()
	dir := t.TempDir()
	if info, err := os.Stat("/dev/shm"); err == nil && info.IsDir() {
		// 5000 commits need not wait for a disk here: that they are durable is
		// shown elsewhere.
		if shm, err := os.MkdirTemp("/dev/shm", "bainward-story-"); err == nil {
			dir = shm
			t.Cleanup(func() { _ = os.RemoveAll(shm) })
		}
	}
	y, err := newYard(filepath.Join(dir, "w1"), 1)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	var now time.Duration // only the goroutine that polls moves it, between two polls
	told := make(chan time.Duration, 1)
	told <- 0
	y.uptime = func() time.Duration {
		at := <-told
		told <- at
		return at
	}
	y.until, y.over = 6*time.Hour+35*time.Minute, cancel
	a, err := app.New(ctx, app.Options{
		Site: y.site, Source: y.source, Barometer: y.barometer, RecordDir: filepath.Join(dir, "record"),
		Listen: "127.0.0.1:0", Every: time.Nanosecond, Clock: y.clock(), Logger: slog.New(slog.DiscardHandler),
		Version: "test", Demo: 1, Did: y.did,
		Before: func(at time.Duration) {
			now += storyStep
			<-told
			told <- now
			y.advance(at)
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	y.choose = func(bath, recipe string) {
		if err := a.Recipe(ctx, bath, recipe, "Robin"); err != nil && ctx.Err() == nil {
			t.Errorf("at %v the story cannot choose %s for %s: %v", now, recipe, bath, err)
		}
	}
	y.enter = func(bath string, e rules.Event) {
		if err := a.Event(ctx, bath, e, storyteller); err != nil && ctx.Err() == nil {
			t.Errorf("at %v the story cannot enter %s at %s: %v", now, e, bath, err)
		}
	}
	if err := a.Run(ctx); err != nil {
		t.Fatal(err)
	}
	r, err := record.OpenReader(filepath.Join(dir, "record"))
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	var all []record.Entry
	for e, err := range r.Entries(t.Context(), 1, 0) {
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, e)
	}
	return all
}

// happened is what a record says of one bath.
type happened struct {
	phases  []string
	alarms  map[string][]alarm.State // in the order in which they came
	verdict string
}

func whatHappened(t *testing.T, all []record.Entry, bath string) happened {
	t.Helper()
	h := happened{alarms: map[string][]alarm.State{}}
	for _, e := range all {
		if e.Bath != bath {
			continue
		}
		switch e.Kind {
		case record.KindPhase:
			var b record.Phase
			decode(t, e, &b)
			h.phases = append(h.phases, b.Phase)
		case record.KindAlarm:
			var b record.Alarm
			decode(t, e, &b)
			c, err := b.Change()
			if err != nil {
				t.Fatal(err)
			}
			h.alarms[b.Alarm] = append(h.alarms[b.Alarm], c.To)
			t.Logf("%v %s %s %s", e.At, bath, b.Alarm, b.To)
		case record.KindBatch:
			var b record.Batch
			decode(t, e, &b)
			h.verdict = b.Verdict
		}
	}
	return h
}

func decode(t *testing.T, e record.Entry, into record.Body) {
	t.Helper()
	if err := e.Decode(into); err != nil {
		t.Fatal(err)
	}
}

// passed reports whether the states came in that order, others between them.
func passed(got []alarm.State, want ...alarm.State) bool {
	for _, s := range got {
		if len(want) > 0 && s == want[0] {
			want = want[1:]
		}
	}
	return len(want) == 0
}

func TestTheDemoTellsItsWholeStory(t *testing.T) {
	if testing.Short() {
		t.Skip("six hours and a half take some seconds")
	}
	all := tell(t)
	north, south := whatHappened(t, all, "north"), whatHappened(t, all, "south")
	whole := []string{"heating", "holding", "straining", "settling", "cooling", "bottled"}
	for name, h := range map[string]happened{"north": north, "south": south} {
		rest := whole
		for _, p := range h.phases {
			if len(rest) > 0 && p == rest[0] {
				rest = rest[1:]
			}
		}
		if len(rest) > 0 {
			t.Errorf("the %s bath went through %v and never came to %v", name, h.phases, rest)
		}
	}
	const up, seenGone = alarm.Unacknowledged, alarm.ReturnedUnacknowledged
	for _, c := range []struct {
		bath, alarm string
		got, want   []alarm.State
	}{
		{"north", "top-up-due", north.alarms["top-up-due"], []alarm.State{up}},
		{"north", "dish-bare", north.alarms["dish-bare"], []alarm.State{up}},
		{"north", "probe-silent", north.alarms["probe-silent"], []alarm.State{up, seenGone}},
		{"south", "too-short", south.alarms["too-short"], []alarm.State{up}},
	} {
		if !passed(c.got, c.want...) {
			t.Errorf("%s at the %s bath went through %v, want %v", c.alarm, c.bath, c.got, c.want)
		}
	}
	for _, id := range []string{"boiling-dry", "overheating"} {
		if len(north.alarms[id])+len(south.alarms[id]) > 0 {
			t.Errorf("%s was raised in a story in which nothing burns", id)
		}
	}
	if len(north.alarms["too-short"]) > 0 {
		t.Error("too-short was raised at the north bath, which held in full")
	}
	// A batch is closed, with its verdict, an hour after it was bottled.
	if north.verdict != "held" || south.verdict != "short" {
		t.Errorf("the verdicts are %q and %q, want held in the north and short in the south", north.verdict, south.verdict)
	}
}
