package people

import "fmt"

// Role is what somebody is at the site.
type Role uint8

// The roles. The zero Role may do nothing.
const (
	NoRole Role = iota
	Viewer
	Maker
	Auditor
	Keeper
)

var roleWords = [...]string{NoRole: "nobody", Viewer: "viewer", Maker: "maker", Auditor: "auditor", Keeper: "keeper"}

// String is the word of the site file.
func (r Role) String() string {
	if int(r) >= len(roleWords) {
		return fmt.Sprintf("role %d", uint8(r))
	}
	return roleWords[r]
}

// ParseRole reads a word of the site file.
func ParseRole(word string) (Role, error) {
	for r := Viewer; r <= Keeper; r++ {
		if r.String() == word {
			return r, nil
		}
	}
	return NoRole, fmt.Errorf("no role is called %q: want viewer, maker, auditor or keeper", word)
}

// Right is one thing that a role may do. The zero Right is the rarest, so that
// what nobody thought of is the keeper's.
type Right uint8

// The rights; doc.go says what they cover.
const (
	Keep    Right = iota
	Anybody       // asks for nothing: not even to be signed in
	See
	Enter
	Sign
	Export
)

var rightWords = [...]string{
	Keep: "change how the site is watched", Anybody: "come to the door", See: "see the baths",
	Enter: "enter what was done", Sign: "sign a batch", Export: "copy the record",
}

// String ends a sentence that begins "Robin may not".
func (x Right) String() string {
	if int(x) >= len(rightWords) {
		return fmt.Sprintf("right %d", uint8(x))
	}
	return rightWords[x]
}

// May reports whether r has the right.
func (r Role) May(x Right) bool {
	switch x {
	case Anybody:
		return true
	case See:
		return r >= Viewer && r <= Keeper
	case Enter:
		return r == Maker || r == Keeper
	case Sign, Export:
		return r == Auditor || r == Keeper
	}
	return r == Keeper
}

// Person is one of the site file.
type Person struct {
	Name string
	Role Role
}
