package people

import "time"

// How much guessing is borne. An attempt is only a failure once a password was
// looked at: one that comes too early is turned away and does not count.
const (
	free     = 5                // failures without a wait
	longest  = time.Minute      // between the tries after that
	lockAt   = 20               // failures
	lockFor  = 15 * time.Minute // and then a wait again after each
	forgetIn = time.Hour        // without a failure
	// watched bounds how many names and addresses are kept in mind: a stranger can
	// invent any number.
	watched = 4096
)

// patience counts the failures of a name or of an address. It is lost at a
// restart: nobody who guesses can restart the daemon.
type patience struct{ of map[string]*failures }

type failures struct {
	count  int
	last   time.Time
	until  time.Time // no try before
	locked bool
}

func newPatience() *patience { return &patience{of: map[string]*failures{}} }

// ask returns until when key must wait; zero if it need not.
func (p *patience) ask(key string, now time.Time) (until time.Time, locked bool) {
	f := p.of[key]
	if f == nil || !now.Before(f.until) {
		return time.Time{}, false
	}
	return f.until, f.locked
}

// failed counts one more and reports whether that locked key.
func (p *patience) failed(key string, now time.Time) (until time.Time, locked bool) {
	f := p.of[key]
	if f == nil || now.Sub(f.last) >= forgetIn {
		p.makeRoom(now)
		f = &failures{}
		p.of[key] = f
	}
	if f.locked { // and it is over
		f.locked, f.count = false, free
	}
	f.count++
	f.last = now
	switch {
	case f.count >= lockAt:
		f.locked, f.until = true, now.Add(lockFor)
	case f.count >= free:
		f.until = now.Add(min(time.Second<<(f.count-free), longest))
	}
	return f.until, f.locked
}

func (p *patience) forget(key string) { delete(p.of, key) }

// makeRoom forgets what is over, and else whoever failed least: inventing names
// must not make the daemon forget a real one.
func (p *patience) makeRoom(now time.Time) {
	if len(p.of) < watched {
		return
	}
	least := ""
	for key, f := range p.of {
		switch {
		case now.Sub(f.last) >= forgetIn:
			delete(p.of, key)
		case least == "" || f.count < p.of[least].count:
			least = key
		}
	}
	if len(p.of) >= watched {
		delete(p.of, least)
	}
}
