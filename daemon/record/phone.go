package record

import (
	"fmt"
	"slices"
)

// KindPhone is the kind of a Phone. The rules do not take it in.
const KindPhone Kind = "phone"

// Phone is a phone that is called from now on, or no more. Its entry is of the site.
// It holds no address of the phone: who knows that can ring it.
type Phone struct {
	What    string `json:"what"`              // signed up, signed off or renewed
	Contact string `json:"contact,omitempty"` // whose it is; empty: it was not known
	Device  string `json:"device,omitempty"`  // what they call it
	By      string `json:"by"`                // who did it; of "renewed", in whose browser it happened by itself
}

// Kind returns KindPhone.
func (Phone) Kind() Kind { return KindPhone }

func (b Phone) check() error {
	switch {
	case !slices.Contains([]string{"signed up", "signed off", "renewed"}, b.What):
		return fmt.Errorf("nothing that happens to a phone is called %q", b.What)
	case b.By == "":
		return fmt.Errorf("a phone was %s, and it does not say by whom", b.What)
	case b.What == "signed up" && b.Contact == "":
		return fmt.Errorf("a phone was signed up for nobody")
	}
	return nil
}
