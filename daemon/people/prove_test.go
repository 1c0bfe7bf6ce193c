package people

import (
	"errors"
	"testing"
)

// The password is asked again without a session beginning or ending; a wrong one is
// counted as at the door, and a right one forgives what was wrong before.
func TestThePasswordIsProvedOnceMore(t *testing.T) {
	h := newHouse(t)
	before := len(h.said)
	who, err := h.door.Prove(t.Context(), Try{Name: "Sorrel", Password: sorrelsWords, From: "network"})
	if err != nil || who.Name != "Sorrel" || who.Role != Maker {
		t.Fatalf("proved %+v, %v", who, err)
	}
	if len(h.said) != before {
		t.Errorf("said %v: nobody came in", h.said[before:])
	}
	if _, err := h.door.Prove(t.Context(), Try{Name: "Sorrel", Password: robinsWords}); !errors.Is(err, ErrWrong) {
		t.Errorf("another's password: %v", err)
	}
	var wait *WaitError
	for range 30 {
		if _, err = h.door.Prove(t.Context(), Try{Name: "Sorrel", Password: "not the words"}); errors.As(err, &wait) {
			return
		}
	}
	t.Errorf("thirty wrong passwords in a row: %v, want a wait", err)
}
