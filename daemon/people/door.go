package people

import (
	"context"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"

	"golang.org/x/crypto/bcrypt"
)

// Options is what a Door needs.
type Options struct {
	People []Person // of the site file
	File   string   // of passwords; empty: in Dir
	Dir    string   // where sessions and the token of commands are kept; must be there
	Logger *slog.Logger
	// Said is told what happened. It may take its time; nothing waits for it but
	// the one who comes in or goes.
	Said func(Access)
	// Cost is that of the passwords, for tests; 0 stands for the constant Cost.
	Cost int
}

// Door says who is in. Its methods may be called from several goroutines.
type Door struct {
	people  []Person
	book    Book
	log     *slog.Logger
	said    func(Access)
	tally   *tally
	command commandLine
	noHash  string
	queue   chan struct{} // places of those who wait for turn
	turn    chan struct{} // one password at a time

	mu       sync.Mutex // guards all below
	patience *patience
	places   *places
	sessions *sessions
	page     page
	stamp    stamp
	looked   time.Time
	broken   bool // the file of passwords could not be read, and that was said
	edition  uint64
}

// waiting is how many may wait for their password to be looked at. With the time
// of one on the oldest Pi, the last of them waits half a minute.
const waiting = 8

// unknownHash takes the place of nobody's password. It is of 32 random bytes that
// were thrown away.
const unknownHash = "$2a$12$lgVbn.Ewbyuk7hY9hHf2pObaOYgBqeo/94iLCiJH1i6qYIoPdRWKq"

// Open reads what is kept of sessions and makes the token of commands.
func Open(o Options) (*Door, error) {
	d := &Door{
		people: o.People, book: OpenBook(o.File, o.Dir), log: o.Logger, said: o.Said,
		queue: make(chan struct{}, waiting), turn: make(chan struct{}, 1), noHash: unknownHash, patience: newPatience(), places: newPlaces(), edition: 1,
	}
	if d.log == nil {
		d.log = slog.New(slog.DiscardHandler)
	}
	if d.said == nil {
		d.said = func(Access) {}
	}
	d.tally = newTally(d.said)
	var err error
	if o.Cost != 0 {
		d.book.cost = o.Cost
		if d.noHash, err = hash(newToken(), o.Cost); err != nil {
			return nil, err
		}
	}
	if d.sessions, err = openSessions(filepath.Join(o.Dir, sessionsFile)); err != nil {
		return nil, err
	}
	if d.page, err = d.book.read(); err != nil {
		return nil, err
	}
	d.warn()
	if d.stamp, err = stampOf(d.book.path); err != nil {
		return nil, fmt.Errorf("look at the passwords: %w", err)
	}
	if d.command, err = openCommandLine(o.Dir); err != nil {
		return nil, err
	}
	return d, nil
}

// warn tells of passwords that are made less well than they are now, and of a file
// that everybody on this machine can read: hashes are for trying passwords at leisure.
func (d *Door) warn() {
	if info, err := os.Stat(d.book.path); err == nil && info.Mode().Perm()&0o007 != 0 {
		d.log.Warn("everybody on this machine can read the file of passwords: chmod 600 it, and set the passwords again", "file", d.book.path)
	}
	for _, k := range d.page.People {
		if cost, err := bcrypt.Cost([]byte(k.Hash)); err != nil || cost < d.book.cost {
			d.log.Warn("a password is kept in an old way: set it again", "name", k.Name)
		}
	}
}

// Close tells what is left to tell, keeps the sessions for the next start and
// takes the token of commands away.
func (d *Door) Close() error {
	d.tally.tell()
	d.mu.Lock()
	defer d.mu.Unlock()
	err := d.sessions.write(time.Now())
	if gone := d.command.close(); err == nil {
		err = gone
	}
	return err
}

// Ready reports whether anybody could come in: has a role and a password.
func (d *Door) Ready() bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.look(time.Now())
	return slices.ContainsFunc(d.people, func(p Person) bool { return d.page.find(p.Name) >= 0 })
}

// person finds somebody of the site file.
func (d *Door) person(name string) (Person, bool) {
	i := slices.IndexFunc(d.people, func(p Person) bool { return fold(p.Name) == fold(name) })
	if i < 0 {
		return Person{}, false
	}
	return d.people[i], true
}

// Named returns who is called name.
func (d *Door) Named(name string) (Person, bool) { return d.person(name) }

// lookEvery is how soon a changed file of passwords is noticed.
const lookEvery = time.Second

// refresh looks at the passwords, unless it was done a moment ago.
func (d *Door) refresh(now time.Time) {
	if now.Sub(d.looked) >= lookEvery || now.Before(d.looked) {
		d.look(now)
	}
}

// look reads the passwords again if their file changed, and ends the sessions
// that do not last over it. A file that cannot be read changes nothing: those who
// were in stay, and the log says so once.
func (d *Door) look(now time.Time) {
	d.looked = now
	seen, err := stampOf(d.book.path)
	if err == nil && seen == d.stamp && !d.broken {
		return
	}
	var p page
	if err == nil {
		p, err = d.book.read()
	}
	if err != nil {
		if !d.broken {
			d.log.Error("the passwords cannot be read; what was known of them before holds", "error", err)
		}
		d.broken = true
		return
	}
	d.page, d.stamp, d.broken = p, seen, false
	d.edition++
	before := len(d.sessions.open)
	d.sessions.sweep(func(s *session) bool { return d.lasts(s, now) })
	d.log.Info("the passwords changed and were read again", "sessions ended", before-len(d.sessions.open))
	d.keep(now)
}

// lasts reports whether a session still counts.
func (d *Door) lasts(s *session, now time.Time) bool {
	p, there := d.person(s.Name)
	at := d.page.find(s.Name)
	return there && at >= 0 && p.Name == s.Name && p.Role.String() == s.Role &&
		d.page.People[at].Edition == s.Edition && !s.over(now)
}

// keep writes the sessions. That they could not be written ends none of them; the
// next start will not know them.
func (d *Door) keep(now time.Time) {
	if err := d.sessions.write(now); err != nil {
		d.log.Error("sessions will not outlive a restart", "error", err)
	}
}

// Who returns who opened the session of token, and counts this as a use.
func (d *Door) Who(token string) (Person, bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	now := time.Now()
	d.refresh(now)
	s := d.sessions.open[sumOf(token)]
	if s == nil {
		return Person{}, false
	}
	if !d.lasts(s, now) {
		delete(d.sessions.open, s.Sum)
		return Person{}, false
	}
	s.Seen = now
	if now.Sub(d.sessions.written) >= seenEvery {
		d.sessions.sweep(func(s *session) bool { return d.lasts(s, now) })
		d.keep(now)
	}
	p, _ := d.person(s.Name)
	return p, true
}

// SignOut ends the session of token; one that is not known is no error.
func (d *Door) SignOut(token, from string) {
	d.mu.Lock()
	s := d.sessions.open[sumOf(token)]
	if s != nil {
		delete(d.sessions.open, s.Sum)
		d.keep(time.Now())
	}
	d.mu.Unlock()
	if s != nil {
		d.said(Access{What: SignedOut, Who: s.Name, From: from})
	}
}

// CommandLine reports whether token is that of commands on this machine.
func (d *Door) CommandLine(token string) bool { return d.command.opens(token) }

// await takes a turn at the passwords, or gives up.
func (d *Door) await(ctx context.Context) (done func(), err error) {
	select {
	case d.queue <- struct{}{}:
	default:
		return nil, ErrBusy
	}
	defer func() { <-d.queue }()
	select {
	case d.turn <- struct{}{}:
		return func() { <-d.turn }, nil
	case <-ctx.Done():
		return nil, ErrBusy
	}
}
