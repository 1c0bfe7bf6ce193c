package people

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

// knock tries a wrong password of Robin's from a place until the door locks.
func (h *house) knock(from string) {
	h.t.Helper()
	for range 1000 {
		_, _, err := h.door.SignIn(h.t.Context(), Try{Name: "Robin", Password: "wrong, and wrong again", Address: from, From: "network"})
		wait, ok := errors.AsType[*WaitError](err)
		if ok && wait.Locked {
			return
		}
		if ok {
			time.Sleep(wait.In)
		}
	}
	h.t.Fatalf("a thousand wrong passwords from %s lock nothing", from)
}

// Who guesses at a colleague's name keeps them out nowhere where they came in of
// late; at a place that is new they wait, whoever they are.
func TestNobodyIsShutOutByAnothersGuesses(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h := newHouse(t)
		defer h.close()
		from := func(address string) error {
			_, _, err := h.door.SignIn(t.Context(), Try{Name: "robin", Password: robinsWords, Address: address, From: "network"})
			return err
		}
		if err := from("kitchen"); err != nil {
			t.Fatal(err)
		}
		h.knock("street")
		if err := from("kitchen"); err != nil {
			t.Errorf("in the kitchen Robin is told %v", err)
		}
		if _, err := h.door.Prove(t.Context(), Try{Name: "Robin", Password: robinsWords, Address: "kitchen"}); err != nil {
			t.Errorf("Robin cannot sign: %v", err)
		}
		if wait, ok := errors.AsType[*WaitError](from("attic")); !ok || !wait.Locked {
			t.Error("the name is not locked at a place that nobody knows")
		}
		time.Sleep(lockFor)
		h.knock("kitchen") // a place that is known is no leave to guess
		if wait, ok := errors.AsType[*WaitError](from("kitchen")); !ok || !wait.Locked {
			t.Error("the kitchen may guess for ever")
		}
	})
}

// Guesses from any number of places cannot fill the record: of one name a lock-out is
// told once in ten minutes, and the tries come together.
func TestGuessesFromEverywhereDoNotFillTheRecord(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h := newHouse(t)
		defer h.close()
		const places = 30
		begun, locked := time.Now(), 0
		for round := range lockAt {
			for i := range places { // each at another name, so that only the place counts
				_, _, err := h.door.SignIn(t.Context(), Try{Name: fmt.Sprint("guess ", round, i), Password: "wrong, and wrong again", Address: fmt.Sprint("place ", i), From: "network"})
				if wait, ok := errors.AsType[*WaitError](err); ok && wait.Locked {
					locked++
				}
			}
			time.Sleep(longest)
		}
		if locked != places {
			t.Fatalf("%d of %d places were locked", locked, places)
		}
		passed := time.Since(begun)
		synctest.Wait()
		h.mu.Lock()
		defer h.mu.Unlock()
		if most := int(passed/saidEvery) + 3; len(h.said) > most || len(h.said) == 0 {
			t.Errorf("%d places locked within %s are told in %d entries, want 1 to %d", places, passed, len(h.said), most)
		}
	})
}

// What is remembered of places is bounded and grows old.
func TestPlacesAreForgotten(t *testing.T) {
	p, now := newPlaces(), time.Now()
	for i := range 2 * watched {
		p.came("Robin", fmt.Sprint(i), now)
	}
	if len(p.last) > watched {
		t.Errorf("%d places are remembered, want %d at most", len(p.last), watched)
	}
	if p.key("Robin", "0", now) == nameKey("Robin") || p.key("Robin", "0", now.Add(Absolute)) != nameKey("Robin") {
		t.Error("a place is not remembered for as long as a session lasts, or for longer")
	}
	p.came("Robin", "another", now.Add(Absolute))
	if p.key("Robin", "another", now.Add(Absolute)) == nameKey("Robin") {
		t.Error("old places leave no room for a new one")
	}
}

// A file of passwords that everybody may read is told of.
func TestAReadableFileOfPasswordsIsToldOf(t *testing.T) {
	h := newHouse(t)
	h.close()
	for mode, want := range map[os.FileMode]bool{0o600: false, 0o640: false, 0o644: true} {
		if err := os.Chmod(h.book.Path(), mode); err != nil {
			t.Fatal(err)
		}
		h.log.Reset()
		h.open(everybody)
		h.close()
		if got := strings.Contains(h.log.String(), "everybody on this machine can read"); got != want {
			t.Errorf("with mode %v it is told: %v, want %v", mode, got, want)
		}
	}
}
