package people

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

// Five mistakes are free, then each wait is longer than the last; a try that comes
// too early is not looked at, and does not count. Twenty lock the name for a
// quarter of an hour, even for the right password, and say until when. A name that
// nobody has is treated alike.
func TestGuessingGetsSlow(t *testing.T) {
	for _, name := range []string{"Robin", "Juniper"} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) { guess(t, name) })
		})
	}
}

func guess(t *testing.T, name string) {
	h := newHouse(t)
	defer h.close()
	from := 0
	try := func(password string) error { // each from another place, so that only the name counts
		from++
		_, _, err := h.door.SignIn(t.Context(), Try{Name: name, Password: password, Address: fmt.Sprint("place ", from), From: "network"})
		return err
	}
	var waits []time.Duration
	for i := 1; i < lockAt; i++ {
		if err := try("wrong, and wrong again"); !errors.Is(err, ErrWrong) {
			t.Fatalf("failure %d: %v", i, err)
		}
		if i < free {
			continue
		}
		early, ok := errors.AsType[*WaitError](try(robinsWords))
		if !ok || early.Locked {
			t.Fatalf("too early after failure %d: %v", i, early)
		}
		waits = append(waits, early.In)
		time.Sleep(early.In)
	}
	want := []time.Duration{1, 2, 4, 8, 16, 32, 60, 60, 60, 60, 60, 60, 60, 60, 60}
	for i := range want {
		want[i] *= time.Second
	}
	if !slices.Equal(waits, want) {
		t.Errorf("the waits are %v, want %v", waits, want)
	}
	locked, ok := errors.AsType[*WaitError](try("wrong, and wrong again"))
	if !ok || !locked.Locked || locked.In != lockFor || !locked.Until.Equal(time.Now().Add(lockFor)) {
		t.Fatalf("failure %d gives %+v, want a lock of %s", lockAt, locked, lockFor)
	}
	if says := "the door stays shut until " + locked.Until.Local().Format("15:04"); !strings.Contains(locked.Error(), says) {
		t.Errorf("it says %q, want %q", locked, says)
	}
	time.Sleep(lockFor - time.Second)
	if err := try(robinsWords); err == nil {
		t.Error("the right password opens a locked door")
	}
	time.Sleep(time.Second)
	if err := try(robinsWords); (err == nil) != (name == "Robin") {
		t.Errorf("after the lock: %v", err)
	}
}

// One place that guesses at many names is slowed and locked too; another place, and
// whoever is in already, notices nothing of it.
func TestAnAddressIsLockedWithoutTheOthers(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h := newHouse(t)
		defer h.close()
		sorrel := h.in("Sorrel", sorrelsWords)
		var last error
		for i := 0; i < 1000; i++ {
			_, _, last = h.door.SignIn(t.Context(), Try{Name: fmt.Sprint("guess ", i), Password: robinsWords, Address: "198.51.100.9", From: "network"})
			if wait, ok := errors.AsType[*WaitError](last); ok {
				if wait.Locked {
					break
				}
				time.Sleep(wait.In)
			}
		}
		if wait, ok := errors.AsType[*WaitError](last); !ok || !wait.Locked {
			t.Fatalf("a thousand guesses end with %v", last)
		}
		h.mustBeIn(sorrel, true, "who was in")
		h.in("Robin", robinsWords)
	})
}

// A success makes up for the mistakes of a name, and so does an hour without any.
func TestMistakesAreForgotten(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h := newHouse(t)
		defer h.close()
		for range 3 {
			for i := range free - 1 {
				_, _, err := h.door.SignIn(t.Context(), Try{Name: "Robin", Password: "wrong, and wrong again", Address: fmt.Sprint(i)})
				if !errors.Is(err, ErrWrong) {
					t.Fatalf("mistake %d: %v", i, err)
				}
			}
			if _, _, err := h.door.SignIn(t.Context(), Try{Name: "Robin", Password: robinsWords, Address: "home"}); err != nil {
				t.Fatal(err)
			}
			time.Sleep(forgetIn) // for the addresses
		}
	})
}

// Inventing names fills no memory, and does not make a name that is guessed at
// forgotten.
func TestWhatIsKeptInMindIsBounded(t *testing.T) {
	p, now := newPatience(), time.Now()
	for range lockAt {
		p.failed("name Robin", now)
	}
	for i := range 3 * watched {
		p.failed(fmt.Sprint("name ", i), now)
	}
	if len(p.of) > watched {
		t.Errorf("%d are kept in mind, want %d at most", len(p.of), watched)
	}
	if _, locked := p.ask("name Robin", now); !locked {
		t.Error("Robin is no more locked")
	}
}

// The record hears of coming and going at once, of mistakes together, and of what
// was typed for a name only if it is one.
func TestTheRecordHearsOfIt(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h := newHouse(t)
		token := h.in("robin", robinsWords)
		h.door.SignOut(token, "here")
		h.door.SignOut(token, "here") // again, which is nothing
		for range 3 {
			_, _ = h.try("Robin", "wrong, and wrong again")
		}
		_, _ = h.try(robinsWords, "typed into the wrong field")
		want := []Access{{SignedIn, "Robin", "network", 0}, {SignedOut, "Robin", "here", 0}}
		if !slices.Equal(h.said, want) {
			t.Errorf("said %v, want %v", h.said, want)
		}
		time.Sleep(saidEvery)
		synctest.Wait()
		h.mu.Lock()
		rest := h.said[2:]
		slices.SortFunc(rest, func(a, b Access) int { return b.Tries - a.Tries })
		if want := []Access{{Refused, "Robin", "network", 3}, {Refused, "", "network", 1}}; !slices.Equal(rest, want) {
			t.Errorf("then said %v, want %v", rest, want)
		}
		h.mu.Unlock()
		_, _ = h.try("Sorrel", "wrong, and wrong again")
		h.close()
		if last := h.said[len(h.said)-1]; last != (Access{Refused, "Sorrel", "network", 1}) {
			t.Errorf("at the end said %v", last)
		}
	})
}
