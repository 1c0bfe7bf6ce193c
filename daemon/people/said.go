package people

import (
	"sync"
	"time"
)

// What is said of people at the door.
type What string

// The words of What.
const (
	SignedIn  What = "signed in"
	SignedOut What = "signed out"
	Refused   What = "refused"    // wrong name or password, Tries times
	LockedOut What = "locked out" // too many of them
)

// Access is one thing that happened at the door. It holds no address: where a
// person was is nobody's business a year later.
type Access struct {
	What  What
	Who   string // a name of the site file; empty: no such name, which may be a password
	From  string // "here", "network" or empty
	Tries int    // of Refused: how many, since the last word about it
}

// saidEvery is how often refusals are told: guessing must not fill the record.
const saidEvery = 10 * time.Minute

// tally gathers refusals and tells of them together.
type tally struct {
	say func(Access)

	mu    sync.Mutex
	tries map[Access]int // by who and from
	due   *time.Timer
	locks map[Access]time.Time // when each was told last
}

func newTally(say func(Access)) *tally {
	return &tally{say: say, tries: map[Access]int{}, locks: map[Access]time.Time{}}
}

// count notes a refusal; it is told within saidEvery.
func (t *tally) count(who, from string) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.tries[Access{What: Refused, Who: who, From: from}]++
	if t.due == nil {
		t.due = time.AfterFunc(saidEvery, t.tell)
	}
}

// lock says that somebody was locked out, and what led to it. Whoever comes from many
// places has each of them locked: of one name that is said once in saidEvery, and the
// tries that follow are gathered like all others.
func (t *tally) lock(who, from string, now time.Time) {
	a := Access{What: LockedOut, Who: who, From: from}
	t.mu.Lock()
	last, told := t.locks[a]
	soon := told && now.Sub(last) < saidEvery
	if !soon {
		t.locks[a] = now
	}
	t.mu.Unlock()
	if soon {
		return
	}
	t.tell()
	t.say(a)
}

// tell says what was gathered.
func (t *tally) tell() {
	t.mu.Lock()
	tries := t.tries
	t.tries = map[Access]int{}
	if t.due != nil {
		t.due.Stop()
		t.due = nil
	}
	t.mu.Unlock()
	for a, n := range tries {
		a.Tries = n
		t.say(a)
	}
}
