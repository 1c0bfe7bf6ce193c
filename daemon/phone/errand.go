package phone

import (
	"context"
	"time"

	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/notice"
	"bainward/rules/alarm"
)

// Errand is a notice to be delivered.
type Errand struct {
	calls.Due
	Age   time.Duration // since it was due
	Tries int           // made before
}

// Resumed returns the errand that goes on with a notice that had not arrived
// when the daemon ended. now is the offset of this instant.
func Resumed(w calls.Waiting, now time.Duration) Errand {
	return Errand{Due: w.Due, Age: now - w.Since, Tries: w.Tries}
}

// How long a notice is tried. What is older than a working day's half is told
// better by the page; what may burn is tried until the next day.
const (
	triedFor         = 6 * time.Hour
	triedForCritical = 24 * time.Hour
)

// The pause before the next try doubles from the first to the longest. There is
// no jitter: a house is one client, not a crowd. A far end that asks for a pause
// gets it up to longestAsked: somebody may be waiting for the news.
const (
	firstPause   = 2 * time.Second
	longestPause = 5 * time.Minute
	longestAsked = 15 * time.Minute
)

func pauseAfter(failures int) time.Duration {
	pause := firstPause
	for range failures - 1 {
		if pause *= 2; pause >= longestPause {
			return longestPause
		}
	}
	return pause
}

// job is an errand in a line.
type job struct {
	Errand
	number   uint64   // in the order of handing over
	open     []string // its calls that have not ended
	due      time.Time
	expires  time.Time
	failures int // in a row, its forerunners' included
	// While a try is under way: cancel ends it, and last says why there will be
	// no other.
	cancel context.CancelFunc
	last   string
}

func newJob(now time.Time, e Errand) *job {
	keep := triedFor
	if e.Priority == alarm.Critical {
		keep = triedForCritical
	}
	return &job{Errand: e, open: e.Calls, due: now, expires: now.Add(keep - e.Age)}
}

// calls reports whether it calls somebody about something, rather than telling
// that it is over or proving a channel.
func (j *job) calling() bool {
	return j.Kind != notice.Over && j.Kind != notice.Proof && len(j.Calls) > 0
}

// grave reports whether it may wait for nothing.
func (j *job) grave() bool { return j.calling() && j.Priority >= alarm.High }

// before reports whether j is sent before k: the graver first, of two as grave
// the one that has been due for longer, so that one that fails keeps no other
// from its turn, and else the older.
func (j *job) before(k *job) bool {
	if j.rank() != k.rank() {
		return j.rank() > k.rank()
	}
	if !j.due.Equal(k.due) {
		return j.due.Before(k.due)
	}
	return j.number < k.number
}

func (j *job) rank() int {
	if j.Kind == notice.Over {
		return 0
	}
	return 1 + int(j.Priority)
}

// worthLess reports whether j is given up before k: what is quiet first, then
// the lesser, then the older.
func (j *job) worthLess(k *job) bool {
	if j.Quiet != k.Quiet {
		return j.Quiet
	}
	if j.rank() != k.rank() {
		return j.rank() < k.rank()
	}
	return j.number < k.number
}
