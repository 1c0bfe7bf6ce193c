package app

import (
	"bufio"
	"context"
	"fmt"
	"log/slog"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"bainward/daemon/publish"
	"bainward/daemon/record"
	"bainward/daemon/site"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/fold"
	"bainward/sensors"
)

// hurried is how many times faster than the clock the child's kitchen runs: a
// poll a simulated second, two real milliseconds apart.
const hurried = 500

// sayer prints the offset of everything that is announced.
type sayer struct{}

func (sayer) Announce(s []fold.Snapshot, _ []publish.Change) {
	for _, b := range s {
		fmt.Println(int64(b.At))
	}
}

// watchForEver runs a whole daemon whose maker never rests, until the parent
// kills it.
func watchForEver(dir string) error {
	s, err := site.Parse("alder.toml", []byte(kitchenSite))
	if err != nil {
		return err
	}
	began := time.Now()
	var probes shelf
	probes.air.Fault = sensors.NotFitted
	var a *App
	a, err = New(context.Background(), Options{
		Site: s, Source: &probes, Barometer: &probes, RecordDir: dir, Listen: "127.0.0.1:0",
		Every: time.Second / hurried, Logger: slog.New(slog.DiscardHandler), Version: "test", Publisher: sayer{},
		Clock: Clock{
			// The machine stays up while its daemon is killed.
			Boot: "one boot",
			Uptime: func() time.Duration {
				return time.Duration(time.Now().UnixNano()/1000%1e12) * hurried * time.Microsecond
			},
			Wall: func() time.Time { return nine.Add(time.Since(began) * hurried) },
		},
		Before: func(at time.Duration) {
			probes.says = restless(at)
			busy(a)
		},
	})
	if err != nil {
		return err
	}
	return a.Run(context.Background())
}

// restless is what the probes say at an instant: a simmer every hour, and now
// and then nothing.
func restless(at time.Duration) map[sensors.Address]sensors.Reading {
	minute := math.Mod(at.Minutes(), 60)
	says := map[sensors.Address]sensors.Reading{
		oilProbe:  sensors.AtCelsius(20 + math.Min(72, 8*minute)),
		bathProbe: sensors.AtCelsius(20 + math.Min(79.5, 10*minute)),
	}
	switch {
	case rand.IntN(40) == 0 || math.Mod(minute, 10) > 9:
		says[oilProbe] = sensors.Failed(sensors.Absent)
	case math.Mod(minute, 15) > 14.8:
		says[bathProbe] = sensors.AtCelsius(110)
	}
	return says
}

// busy does something at random that a person could do. What does not fit is
// refused, and that is as good a deed as any.
func busy(a *App) {
	if rand.IntN(8) != 0 {
		return
	}
	ctx := context.Background()
	switch n := rand.IntN(24); n {
	case 0, 1, 2, 3, 4, 5:
		kind := []rules.EventKind{rules.Light, rules.TopUp, rules.Strain, rules.Recharge, rules.Bottle, rules.Charge}[n]
		if n == 3 || n == 4 {
			if rand.IntN(2) != 0 {
				return
			}
		}
		_ = a.Event(ctx, "north", rules.Event{Kind: kind}, "maker")
	case 6:
		e, _ := rules.ParseEvent("fill 1.8 kg")
		_ = a.Event(ctx, "north", e, "maker")
	case 7, 8:
		lines, _ := a.Events(ctx, "north", 20)
		for _, l := range lines {
			if l.Voidable && rand.IntN(3) == 0 {
				_ = a.Void(ctx, "north", l.Entry, "a slip", "maker")
				return
			}
		}
	case 9:
		_ = a.Recipe(ctx, "north", []string{"ribwort", "marigold"}[rand.IntN(2)], "Robin")
	default:
		_ = a.Alarm(ctx, "north", alarm.Command{
			Alarm: rules.ID(rand.IntN(int(rules.IDCount))), Action: alarm.Action(1 + rand.IntN(6)),
			For: time.Minute, Reason: "a trial",
		}, "maker")
	}
}

// killed starts a daemon, kills it by SIGKILL some time after its first word,
// and returns the last offset that it announced.
func killed(t *testing.T, dir string, then time.Duration) (announced time.Duration) {
	t.Helper()
	child := exec.Command(os.Args[0], dir)
	child.Env = append(os.Environ(), childOf+"=watch")
	child.Stderr = os.Stderr
	out, err := child.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	read := func() bool {
		if !lines.Scan() {
			return false
		}
		n, err := strconv.ParseInt(lines.Text(), 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		announced = time.Duration(n)
		return true
	}
	if !read() {
		t.Fatalf("the daemon ended by itself: %v", child.Wait())
	}
	end := time.AfterFunc(then, func() { _ = child.Process.Kill() })
	defer end.Stop()
	for read() { // what it still announced before it died
	}
	_ = child.Wait()
	if child.ProcessState.Exited() {
		t.Fatalf("the daemon ended by itself: %v", child.ProcessState)
	}
	return announced
}

func TestAKillAtAnyMomentCostsAtMostThePollInFlight(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "record")
	rounds := 20
	if testing.Short() {
		rounds = 5
	}
	for round := range rounds {
		announced := killed(t, dir, time.Duration(rand.Int64N(int64(400*time.Millisecond))))
		r, err := record.OpenReader(dir)
		if err != nil {
			t.Fatal(err)
		}
		all := entriesOf(t, r) // a hole would be an error
		if err := r.Close(); err != nil {
			t.Fatal(err)
		}
		if last := all[len(all)-1].At; last < announced {
			t.Fatalf("round %d: announced up to %v, recorded up to %v", round, announced, last)
		}
		checkRefold(t, all)
	}
	r, err := record.OpenReader(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	kinds := map[record.Kind]int{}
	for _, e := range entriesOf(t, r) {
		kinds[e.Kind]++
	}
	t.Logf("after %d kills the record holds %v", rounds, kinds)
	if kinds[record.KindRestart] != rounds || kinds[record.KindBatch] == 0 || kinds[record.KindAlarm] == 0 {
		t.Error("the kills fell before anything happened that could be lost")
	}
}
