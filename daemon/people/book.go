package people

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// fileName is the file of passwords in the folder of the record.
const fileName = "people"

// Book is the file of passwords. Only commands change it; they keep out of each
// other's way.
type Book struct {
	path string
	cost int
	by   string
}

// OpenBook returns the file of passwords: path, or if that is empty the one in the
// folder of the record. It need not be there yet; its folder must.
func OpenBook(path, dir string) Book {
	if path == "" {
		path = filepath.Join(dir, fileName)
	}
	return Book{path: path, cost: Cost}
}

// ForTests returns b with another cost of its passwords: less than Cost is for tests
// alone, which set many.
func (b Book) ForTests(cost int) Book {
	b.cost = cost
	return b
}

// As returns b with the name under which its changes are entered in the record.
func (b Book) As(by string) Book {
	b.by = by
	return b
}

// Path is where the file is.
func (b Book) Path() string { return b.path }

// page is the file of passwords as it is written.
type page struct {
	People []known `json:"people"`
	Trail  []line  `json:"trail,omitempty"` // what commands did, for the record
}

// known is somebody who has a password.
type known struct {
	Name string    `json:"name"` // as the site file writes it
	Hash string    `json:"hash"`
	Set  time.Time `json:"set"` // when the password was
	// Edition is new with every password and every sign-out: sessions of an older
	// one are over.
	Edition string `json:"edition"`
}

// fold makes one name of those that differ only in capitals: phones begin a word
// with one.
func fold(name string) string { return strings.ToLower(strings.TrimSpace(name)) }

func (b Book) read() (page, error) {
	var p page
	if err := readFile(b.path, &p); err != nil {
		return page{}, fmt.Errorf("read the passwords: %w", err)
	}
	return p, nil
}

// find returns the place of name in p, or -1.
func (p page) find(name string) int {
	return slices.IndexFunc(p.People, func(k known) bool { return fold(k.Name) == fold(name) })
}

// Passwords says who has a password, and since when.
func (b Book) Passwords() (map[string]time.Time, error) {
	p, err := b.read()
	if err != nil {
		return nil, err
	}
	all := map[string]time.Time{}
	for _, k := range p.People {
		all[k.Name] = k.Set
	}
	return all, nil
}

// SetPassword gives name a password, and ends their sessions.
func (b Book) SetPassword(name, password string, now time.Time) error {
	if err := CheckPassword(name, password); err != nil {
		return err
	}
	h, err := hash(password, b.cost)
	if err != nil {
		return err
	}
	return b.change(name, PasswordSet, now, func(p *page, at int) error {
		k := known{Name: name, Hash: h, Set: now.UTC().Truncate(time.Second), Edition: newToken()}
		if at < 0 {
			p.People = append(p.People, k)
		} else {
			p.People[at] = k
		}
		return nil
	})
}

// Forget takes the password of name away: they cannot come in, and their sessions
// are over.
func (b Book) Forget(name string, now time.Time) error {
	return b.change(name, PasswordRemoved, now, func(p *page, at int) error {
		if at < 0 {
			return fmt.Errorf("%s has no password", name)
		}
		p.People = slices.Delete(p.People, at, at+1)
		return nil
	})
}

// SignOut ends every session of name.
func (b Book) SignOut(name string, now time.Time) error {
	return b.change(name, SessionsEnded, now, func(p *page, at int) error {
		if at < 0 {
			return fmt.Errorf("%s has no password, so is signed in nowhere", name)
		}
		p.People[at].Edition = newToken()
		return nil
	})
}

// change rewrites the file, and notes what was done. do gets the place of name, or -1.
func (b Book) change(name string, what Changed, now time.Time, do func(p *page, at int) error) error {
	return alone(filepath.Dir(b.path), func() error {
		p, err := b.read()
		if err != nil {
			return err
		}
		at := p.find(name)
		if at >= 0 {
			name = p.People[at].Name // one person has one name in the trail
		}
		if err := do(&p, at); err != nil {
			return err
		}
		p.note(what, name, cmp.Or(b.by, OnCommandLine("")), now)
		if err := writeFile(b.path, p); err != nil {
			return fmt.Errorf("write the passwords: %w: run this as the user of the daemon, or as root", err)
		}
		return nil
	})
}
