package app

import (
	"bufio"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bainward/daemon/record"
)

// full asks for the long form of a trial.
const full = "BAINWARD_FULL"

// trial is what a parent knows of a daemon that it kills again and again: what
// arrived at the letterbox, and what the lives said of themselves.
type trial struct {
	t   *testing.T
	dir string
	box *letterbox

	kills int
	// before holds, for each life, the number of the last entry before it.
	before []int64
	lines  int
	left   []leave
	ended  map[string]ending // by call
}

// leave is a notice that left, in the words of the child.
type leave struct {
	notice     string
	life, line int
}

// ending is an answer that a child reported: it is in the record.
type ending struct {
	line int
	at   time.Time // when the parent read it
}

const (
	killsAWeek = 20
	callsAWeek = 1000
	// aWeek and a day lie between two weeks of trouble: what is folded again at a
	// start is bounded by record.CallsLookBack.
	aWeek = record.CallsLookBack + 24*time.Hour
)

// Alarms come and go in a workshop whose daemon is killed at any moment, whose
// channels fail in every way, and whose people answer some calls. Then the
// channels are mended and the last daemon rests. Every call that was opened has
// arrived at somebody, unless it was over before it could (silence lists how);
// once an answer is in the record nothing leaves about its call, and once a
// delivery is, that notice does not leave again. With BAINWARD_FULL=1 it is ten
// thousand alarms and two hundred kills, on one record; else a tenth.
func TestNoAlarmIsLostAndNoneAnsweredRepeatsThroughKills(t *testing.T) {
	weeks, calls, kills := 1, callsAWeek, killsAWeek
	switch {
	case os.Getenv(full) != "":
		weeks = 10
	case testing.Short():
		calls, kills = callsAWeek/5, killsAWeek/5
	}
	wanted := weeks * calls
	r := &trial{t: t, dir: filepath.Join(t.TempDir(), "record"), box: newLetterbox(t), ended: map[string]ending{}}
	began := time.Now()
	for rested := true; rested && weeks > 0; weeks-- {
		r.box.be(false)
		away := time.Duration(0)
		if r.kills > 0 {
			away = aWeek
		}
		for n := 0; n < kills || r.opened() < calls; n++ {
			r.work(away)
			away = time.Duration(1+rand.IntN(5)) * time.Second
		}
		r.box.be(true)
		rested = r.rest(away)
	}
	r.judge(time.Since(began), wanted)
}

// lifetime says when a daemon is killed: when it has said so many lines and then
// a moment has passed, or at the latest in the end. Counting in lines gives a busy
// machine the time that it needs.
type lifetime struct {
	lines        int
	then, latest time.Duration
}

// draw gives one daemon of eight no time to start.
func draw() lifetime {
	if rand.IntN(8) == 0 {
		return lifetime{lines: math.MaxInt, latest: rand.N(300 * time.Millisecond)}
	}
	return lifetime{lines: 1 + rand.IntN(230), then: rand.N(30 * time.Millisecond), latest: 20 * time.Second}
}

// work runs a daemon and kills it.
func (r *trial) work(away time.Duration) {
	r.t.Helper()
	l := draw()
	if len(r.before) == 0 { // there must be a record to look into
		l = lifetime{lines: 1, latest: time.Minute}
	}
	if state, _ := r.run("work", away, l); state.Exited() {
		r.t.Fatalf("life %d ended by itself: %v", len(r.before)-1, state)
	}
	r.kills++
}

// rest runs a daemon until it has nothing left to tell, and reports whether it
// came to that.
func (r *trial) rest(away time.Duration) bool {
	r.t.Helper()
	state, idle := r.run("rest", away, lifetime{lines: math.MaxInt, latest: time.Minute})
	if !state.Success() || !idle {
		r.t.Errorf("life %d had something left to tell after a minute in which all was well: %v", len(r.before)-1, state)
	}
	return idle
}

func (r *trial) run(mode string, away time.Duration, l lifetime) (state *os.ProcessState, idle bool) {
	r.t.Helper()
	number := len(r.before)
	r.before = append(r.before, r.last())
	child := exec.Command(os.Args[0], r.dir, fmt.Sprint(r.box.url, "/", number), away.String(), mode)
	child.Env = append(os.Environ(), childOf+"=call")
	child.Stderr = os.Stderr
	out, err := child.StdoutPipe()
	if err == nil {
		err = child.Start()
	}
	if err != nil {
		r.t.Fatal(err)
	}
	end := time.AfterFunc(l.latest, func() { _ = child.Process.Kill() })
	defer end.Stop()
	lines := bufio.NewScanner(out)
	for n := 1; lines.Scan(); n++ { // what it still said before it died, too
		idle = r.hear(lines.Text(), number) || idle
		if n == l.lines {
			end.Reset(l.then)
		}
	}
	_ = child.Wait() // its state says it all
	return child.ProcessState, idle
}

// hear takes in a line of a child, and reports whether it says that all is told.
func (r *trial) hear(line string, life int) (idle bool) {
	r.t.Helper()
	r.lines++
	word, id, _ := strings.Cut(line, " ")
	switch word {
	case saysLeaves:
		r.left = append(r.left, leave{id, life, r.lines})
	case saysEnded:
		if _, known := r.ended[id]; !known {
			r.ended[id] = ending{r.lines, time.Now()}
		}
	case saysIdle:
		return true
	default:
		r.t.Fatalf("life %d says %q", life, line)
	}
	return false
}

// read opens the record, which no daemon has open now.
func (r *trial) read() *record.Reader {
	r.t.Helper()
	reader, err := record.OpenReader(r.dir)
	if err != nil {
		r.t.Fatal(err)
	}
	return reader
}

// last is the number of the record's last entry, 0 if there is none.
func (r *trial) last() int64 {
	r.t.Helper()
	if len(r.before) == 0 {
		return 0
	}
	reader := r.read()
	defer reader.Close()
	end, err := reader.Last(r.t.Context())
	if err != nil {
		r.t.Fatal(err)
	}
	return end.Seq
}

// opened is how many calls were opened this week.
func (r *trial) opened() int {
	r.t.Helper()
	if len(r.before) == 0 {
		return 0
	}
	reader := r.read()
	defer reader.Close()
	n := 0
	for e, err := range reader.Calls(r.t.Context()) {
		if err != nil {
			r.t.Fatal(err)
		}
		var b record.Call
		if e.Kind == record.KindCall && e.Decode(&b) == nil && b.State == record.Opened {
			n++
		}
	}
	return n
}
