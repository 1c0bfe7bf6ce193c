package people

import (
	"context"
	"errors"
	"fmt"
	"time"
)

// Errors of SignIn. Their words are for the person, and the same whether the name
// or the password is wrong.
var (
	ErrWrong = errors.New("the name or the password is wrong")
	ErrBusy  = errors.New("too many people come in at once; try again in a moment")
)

// WaitError says that too many tries failed.
type WaitError struct {
	Until  time.Time
	In     time.Duration // from now until then
	Locked bool
}

// Error says when to try again.
func (e *WaitError) Error() string {
	if e.Locked {
		return fmt.Sprintf("too many tries failed: the door stays shut until %s", e.Until.Local().Format("15:04"))
	}
	return fmt.Sprintf("too many tries failed: try again in %d s", int((e.In+time.Second-1)/time.Second))
}

// Try is somebody at the door.
type Try struct {
	Name, Password string
	// Address is where the try comes from; failures of one are counted together.
	Address string
	From    string // the same for the record: "here" or "network"
}

// SignIn opens a session and returns its token, which only the browser keeps. The
// error is ErrWrong, ErrBusy or a *WaitError.
func (d *Door) SignIn(ctx context.Context, t Try) (token string, who Person, err error) {
	who, edition, err := d.check(ctx, t)
	if err != nil {
		return "", Person{}, err
	}
	if token = d.admit(who, edition, t); token == "" {
		return "", Person{}, ErrWrong // the password was changed meanwhile
	}
	d.said(Access{What: SignedIn, Who: who.Name, From: t.From})
	return token, who, nil
}

// Prove asks somebody who is in for the password again, as before a signature (21
// CFR 11.200(a)). No session begins or ends with it. Its errors are those of SignIn.
func (d *Door) Prove(ctx context.Context, t Try) (Person, error) {
	who, _, err := d.check(ctx, t)
	if err != nil {
		return Person{}, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.comes(t, time.Now())
	return who, nil
}

// check returns who is at the door, and which edition of the password was shown.
func (d *Door) check(ctx context.Context, t Try) (who Person, edition string, err error) {
	done, err := d.await(ctx)
	if err != nil {
		return Person{}, "", err
	}
	defer done()
	d.mu.Lock()
	now := time.Now()
	d.look(now)
	if until, locked := d.mustWait(t, now); !until.IsZero() {
		d.mu.Unlock()
		return Person{}, "", &WaitError{Until: until, In: until.Sub(now), Locked: locked}
	}
	who, known := d.person(t.Name)
	hash := d.noHash
	if at := d.page.find(t.Name); known && at >= 0 {
		hash, edition = d.page.People[at].Hash, d.page.People[at].Edition
	}
	d.mu.Unlock()

	if !fits(hash, t.Password) || edition == "" { // the slow part, for a stranger too
		return Person{}, "", d.refuse(t, who.Name)
	}
	return who, edition, nil
}

// mustWait returns until when the name or the address must wait.
func (d *Door) mustWait(t Try, now time.Time) (until time.Time, locked bool) {
	until, locked = d.patience.ask(d.places.key(t.Name, t.Address, now), now)
	if other, l := d.patience.ask(addressKey(t.Address), now); other.After(until) {
		until, locked = other, l
	}
	return until, locked
}

// The keys of patience. A name is counted by its sum, because it may be a password
// that was typed into the wrong field, and of any length.
func nameKey(name string) string       { return "name " + sumOf(fold(name)) }
func addressKey(address string) string { return "address " + address }

// comes makes up for the failures before, and remembers the place.
func (d *Door) comes(t Try, now time.Time) {
	d.patience.forget(d.places.key(t.Name, t.Address, now))
	d.places.came(t.Name, t.Address, now)
}

// admit opens the session, unless the password is no more the one that was checked.
func (d *Door) admit(who Person, edition string, t Try) string {
	d.mu.Lock()
	defer d.mu.Unlock()
	now := time.Now()
	d.look(now)
	if at := d.page.find(who.Name); at < 0 || d.page.People[at].Edition != edition {
		return ""
	}
	d.comes(t, now)
	token := d.sessions.begin(who, edition, now)
	d.keep(now)
	return token
}

// refuse counts a failure and says what to do. who is empty for a name that
// nobody has.
func (d *Door) refuse(t Try, who string) error {
	d.mu.Lock()
	now := time.Now()
	until, locked := d.patience.failed(d.places.key(t.Name, t.Address, now), now)
	if other, l := d.patience.failed(addressKey(t.Address), now); other.After(until) {
		until, locked = other, l
	}
	d.mu.Unlock()
	d.tally.count(who, t.From)
	if locked {
		d.log.Warn("locked out for a while: too many passwords were wrong", "name", who, "from", t.From)
		d.tally.lock(who, t.From, now)
		return &WaitError{Until: until, In: until.Sub(now), Locked: true}
	}
	return ErrWrong
}
