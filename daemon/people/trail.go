package people

import (
	"crypto/sha256"
	"encoding/hex"
	"maps"
	"slices"
	"time"
)

// Who may come in is itself a matter of record (21 CFR 11.10(d) and (g), 11.300; EU
// GMP Annex 11, 12.4: who may enter, and since when, must be known for as long as
// what they entered). The record is the daemon's alone to write, and a command may
// run while there is no daemon. So a command writes what it did, and who gave it,
// into the file of passwords beside what it changed: one write, both or neither. The
// daemon enters in the record what it finds there and has not entered yet. What was
// changed by another hand than a command's has no such line; it is found by
// comparing, and entered as what it is.

// Changed is what was changed about who may come in.
type Changed string

// The words of Changed. The record has them too.
const (
	Added           Changed = "added"
	Removed         Changed = "removed" // from the site file
	RoleChanged     Changed = "role changed"
	PasswordSet     Changed = "password set"
	PasswordRemoved Changed = "password removed"
	SessionsEnded   Changed = "sessions ended"
)

// By whom, where no command says it.
const (
	BySiteFile = "whoever can write the site file"
	ByBookFile = "whoever can write the file of passwords"
)

// Change is one change of who may come in. It holds nothing that opens anything.
type Change struct {
	What Changed
	Who  string
	Role Role   // since then; of a password too
	By   string // a user of this machine, or one of the above
	// At is when a command did it; zero: it is not known, and was before now.
	At time.Time
	// Mark tells one password from the next; empty: none.
	Mark string
}

// Standing is how somebody stands, as far as it may be told.
type Standing struct {
	Role Role // NoRole: the site file does not name them
	Mark string
}

// line is a Change of a command, as the file of passwords keeps it.
type line struct {
	At   time.Time `json:"at"` // no two are the same, and none is before the one above it
	What Changed   `json:"what"`
	Who  string    `json:"who"`
	By   string    `json:"by"`
	Mark string    `json:"mark,omitempty"`
}

// makesSense reports whether a command wrote the line.
func (l line) makesSense() bool {
	switch l.What {
	case PasswordSet, SessionsEnded:
		return l.Who != "" && l.By != "" && l.Mark != ""
	case PasswordRemoved:
		return l.Who != "" && l.By != "" && l.Mark == ""
	}
	return false
}

// kept is how many lines the file keeps: far more than are written between two
// starts of a daemon.
const kept = 500

// mark tells one password, and one sign-out, from the next, and says nothing of
// them: two random numbers that never leave the file, 256 and 128 bits, go into it.
func (k known) mark() string {
	sum := sha256.Sum256([]byte("bainward mark\x00" + k.Edition + "\x00" + k.Hash))
	return hex.EncodeToString(sum[:8])
}

// note writes down that by did what to name, at an instant that no line above has.
func (p *page) note(what Changed, name, by string, now time.Time) {
	at := now.UTC().Truncate(time.Millisecond)
	if n := len(p.Trail); n > 0 && !at.After(p.Trail[n-1].At) {
		at = p.Trail[n-1].At.Add(time.Millisecond) // the clock was set back
	}
	l := line{At: at, What: what, Who: name, By: by}
	if i := p.find(name); i >= 0 {
		l.Mark = p.People[i].mark()
	}
	p.Trail = append(p.Trail, l)
	if extra := len(p.Trail) - kept; extra > 0 {
		p.Trail = slices.Delete(p.Trail, 0, extra)
	}
}

// Edition is another number whenever somebody may stand otherwise than before. It
// looks at the file of passwords, at most once a second.
func (d *Door) Edition() uint64 {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.refresh(time.Now())
	return d.edition
}

// Since returns what changed since people stood as before says, of which the last
// change by a command was at an instant: first what commands say, in their order,
// and then what no command did. Names are as the site file writes them, or as the
// file of passwords does.
func (d *Door) Since(before map[string]Standing, last time.Time) []Change {
	d.mu.Lock()
	defer d.mu.Unlock()
	stood := map[string]Standing{}
	maps.Copy(stood, before)
	changes := d.bySite(stood)
	for _, l := range d.page.Trail {
		if !l.At.After(last) || !l.makesSense() {
			continue // what became of it is told by comparing
		}
		who := d.asNamed(l.Who)
		s := stood[who]
		s.Mark = l.Mark
		stood[who] = s
		changes = append(changes, Change{What: l.What, Who: who, Role: s.Role, By: l.By, At: l.At, Mark: l.Mark})
	}
	return append(changes, d.byHand(stood)...)
}

// bySite tells of the site file, and brings stood up to it.
func (d *Door) bySite(stood map[string]Standing) (changes []Change) {
	now := map[string]Role{}
	for _, p := range d.people {
		now[p.Name] = p.Role
	}
	for _, name := range slices.Sorted(maps.Keys(union(stood, now))) {
		s, role := stood[name], now[name]
		what := RoleChanged
		switch {
		case s.Role == role:
			continue
		case s.Role == NoRole:
			what = Added
		case role == NoRole:
			what = Removed
		}
		s.Role = role
		stood[name] = s
		changes = append(changes, Change{What: what, Who: name, Role: role, By: BySiteFile, Mark: s.Mark})
	}
	return changes
}

// byHand tells of passwords that are others than the trail says.
func (d *Door) byHand(stood map[string]Standing) (changes []Change) {
	now := map[string]string{}
	for _, k := range d.page.People {
		now[d.asNamed(k.Name)] = k.mark()
	}
	for _, name := range slices.Sorted(maps.Keys(union(stood, now))) {
		s, mark := stood[name], now[name]
		if s.Mark == mark {
			continue
		}
		what := PasswordSet
		if mark == "" {
			what = PasswordRemoved
		}
		changes = append(changes, Change{What: what, Who: name, Role: s.Role, By: ByBookFile, Mark: mark})
	}
	return changes
}

// asNamed is a name as the site file writes it, if it is there.
func (d *Door) asNamed(name string) string {
	if p, there := d.person(name); there {
		return p.Name
	}
	return name
}

// union is all names of two maps.
func union[A, B any](a map[string]A, b map[string]B) map[string]bool {
	all := map[string]bool{}
	for name := range a {
		all[name] = true
	}
	for name := range b {
		all[name] = true
	}
	return all
}
