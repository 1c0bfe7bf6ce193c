package record

import (
	"errors"
	"fmt"
	"slices"
	"time"
)

// KindPerson is the kind of a Person. The rules do not take it in.
const KindPerson Kind = "person"

// Person is a change of who may come in, as what, and since when (21 CFR 11.10(d),
// (g); EU GMP Annex 11, 12.4). Its entry is of the site. It may be older than its
// entry: what a command did while no daemon ran is entered at the next start.
type Person struct {
	What string `json:"what"` // added, removed, role changed, password set, password removed or sessions ended
	Who  string `json:"who"`
	Role string `json:"role,omitempty"` // since then; empty: the site file does not name them
	By   string `json:"by"`             // a user of the machine, or whoever can write a file
	At   string `json:"at,omitempty"`   // when a command did it, RFC 3339; empty: before this entry
	// Mark tells one password, and one sign-out, from the next: a change by hand shows
	// by it. It is 64 bits of a hash into which go 256 random bits that are nowhere in
	// the record, so nothing of the password follows from it. Empty: no password.
	Mark string `json:"mark,omitempty"`
}

// Kind returns KindPerson.
func (Person) Kind() Kind { return KindPerson }

// When returns At; the zero time if it is empty.
func (b Person) When() (time.Time, error) {
	if b.At == "" {
		return time.Time{}, nil
	}
	return time.Parse(time.RFC3339, b.At)
}

func (b Person) check() error {
	words := []string{"added", "removed", "role changed", "password set", "password removed", "sessions ended"}
	switch {
	case !slices.Contains(words, b.What):
		return fmt.Errorf("nothing that happens to a person is called %q", b.What)
	case b.Who == "":
		return fmt.Errorf("nobody was %s", b.What)
	case b.By == "":
		return errors.New("the change of a person does not say by whom")
	case b.Role == "" && (b.What == "added" || b.What == "role changed"):
		return fmt.Errorf("%s, and it does not say as what", b.What)
	case b.Mark == "" && (b.What == "password set" || b.What == "sessions ended"):
		return fmt.Errorf("%s, and it has no mark", b.What)
	}
	if _, err := b.When(); err != nil {
		return fmt.Errorf("time of a change of a person: %w", err)
	}
	return nil
}
