package record

import "fmt"

// KindAccess is the kind of an Access. The rules do not take it in.
const KindAccess Kind = "access"

// Access is what happened at the door of the pages. Its entry is of the site. It
// says who and from how far, and no address: the record is kept for years, and
// where a person was is nobody's business then.
type Access struct {
	What  string `json:"what"`            // "signed in", "signed out", "refused" or "locked out"
	Who   string `json:"who,omitempty"`   // of the site file; empty: no such name was given
	From  string `json:"from,omitempty"`  // "here" (this machine) or "network"
	Tries int    `json:"tries,omitempty"` // refused: how many tries, since the entry before
}

// Kind returns KindAccess.
func (Access) Kind() Kind { return KindAccess }

func (b Access) check() error {
	switch b.What {
	case "signed in", "signed out":
		if b.Who == "" {
			return fmt.Errorf("nobody %s", b.What)
		}
	case "locked out":
	case "refused":
		if b.Tries < 1 {
			return fmt.Errorf("access was refused %d times", b.Tries)
		}
	default:
		return fmt.Errorf("no access is called %q", b.What)
	}
	if b.From != "" && b.From != "here" && b.From != "network" {
		return fmt.Errorf("access from %q: want here or network", b.From)
	}
	return nil
}
