package people

import (
	"bytes"
	"context"
	"encoding/base64"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"golang.org/x/crypto/bcrypt"
)

const (
	robinsWords  = "kettle heron gravel seven"
	sorrelsWords = "plum ladder quiet tin"
)

// house is a site with four people, of whom two have passwords.
type house struct {
	t    *testing.T
	dir  string
	book Book
	door *Door
	log  *bytes.Buffer

	mu   sync.Mutex
	said []Access
}

var everybody = []Person{{"Robin", Keeper}, {"Sorrel", Maker}, {"Ash", Viewer}, {"Rowan", Auditor}}

func newHouse(t *testing.T) *house {
	t.Helper()
	h := &house{t: t, dir: t.TempDir(), log: &bytes.Buffer{}}
	h.book = OpenBook("", h.dir)
	h.book.cost = bcrypt.MinCost
	h.set("Robin", robinsWords)
	h.set("Sorrel", sorrelsWords)
	h.open(everybody)
	return h
}

func (h *house) open(people []Person) {
	h.t.Helper()
	door, err := Open(Options{
		People: people, Dir: h.dir, Cost: bcrypt.MinCost, Logger: slog.New(slog.NewTextHandler(h.log, nil)),
		Said: func(a Access) {
			h.mu.Lock()
			defer h.mu.Unlock()
			h.said = append(h.said, a)
		},
	})
	if err != nil {
		h.t.Fatal(err)
	}
	h.door = door
}

func (h *house) close() {
	h.t.Helper()
	if err := h.door.Close(); err != nil {
		h.t.Error(err)
	}
}

func (h *house) set(name, password string) {
	h.t.Helper()
	if err := h.book.SetPassword(name, password, time.Now()); err != nil {
		h.t.Fatal(err)
	}
}

func (h *house) try(name, password string) (string, error) {
	token, _, err := h.door.SignIn(h.t.Context(), Try{Name: name, Password: password, Address: "192.0.2.7", From: "network"})
	return token, err
}

func (h *house) in(name, password string) string {
	h.t.Helper()
	token, err := h.try(name, password)
	if err != nil {
		h.t.Fatalf("%s cannot come in: %v", name, err)
	}
	return token
}

func (h *house) mustBeIn(token string, want bool, why string) {
	h.t.Helper()
	if who, ok := h.door.Who(token); ok != want {
		h.t.Errorf("%s: in is %v (%v), want %v", why, ok, who, want)
	}
}

// Whoever knows the name, in whatever capitals, and the password is in, under the
// name and role of the site file.
func TestWhoKnowsThePasswordIsIn(t *testing.T) {
	h := newHouse(t)
	defer h.close()
	for _, name := range []string{"Robin", "robin", " ROBIN "} {
		who, ok := h.door.Who(h.in(name, robinsWords))
		if want := (Person{"Robin", Keeper}); !ok || who != want {
			t.Errorf("%q is in as %v (%v), want %v", name, who, ok, want)
		}
	}
	h.mustBeIn("", false, "no token")
	h.mustBeIn(newToken(), false, "a made-up token")
}

// A wrong password, an unknown name, a person without a password and one whom the
// site file does not name get the same words.
func TestNobodyLearnsWhichWasWrong(t *testing.T) {
	h := newHouse(t)
	defer h.close()
	h.set("Fern", "cloud under seven boots") // is in no site file
	for name, password := range map[string]string{"Robin": sorrelsWords, "Juniper": robinsWords, "Ash": robinsWords, "Fern": "cloud under seven boots"} {
		if token, err := h.try(name, password); !errors.Is(err, ErrWrong) || token != "" {
			t.Errorf("%s gets %q, %v; want %v", name, token, err, ErrWrong)
		}
	}
}

// What stands in for nobody's password is as slow to look at as a real one, and
// the cost is the one that the package promises.
func TestAStrangerCostsTheSameTime(t *testing.T) {
	if cost, err := bcrypt.Cost([]byte(unknownHash)); err != nil || cost != Cost || Cost < 12 {
		t.Errorf("the stand-in costs %d, %v; passwords cost %d, and no less than 12", cost, err, Cost)
	}
}

// Neither password nor token is in any file, log line or word to the record; the
// files are for their owner only, and a failed write leaves nothing behind.
func TestNothingSecretIsLeftLying(t *testing.T) {
	h := newHouse(t)
	token := h.in("Robin", robinsWords)
	if _, err := h.try("Robin", "a wrong one, 12345"); err == nil {
		t.Fatal("a wrong password is right")
	}
	command, err := CommandToken(h.dir)
	if err != nil || !h.door.CommandLine(command) || h.door.CommandLine("") || h.door.CommandLine(token) {
		t.Errorf("the token of the command line is %v, %v", h.door.CommandLine(command), err)
	}
	files, err := os.ReadDir(h.dir)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range files {
		names = append(names, f.Name())
		path := filepath.Join(h.dir, f.Name())
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o600 {
			t.Errorf("%s has mode %v, %v", path, info.Mode(), err)
		}
		h.log.Write(text)
	}
	if want := []string{commandFile, fileName, sessionsFile}; !slices.Equal(names, want) {
		t.Errorf("the folder holds %v, want %v", names, want)
	}
	h.close()
	everything := strings.ReplaceAll(h.log.String(), command, "") + fmt.Sprint(h.said)
	for _, secret := range []string{robinsWords, sorrelsWords, "a wrong one", token, base64.StdEncoding.EncodeToString([]byte(robinsWords))} {
		if strings.Contains(everything, secret) {
			t.Errorf("%q is written down somewhere", secret)
		}
	}
	if left, err := CommandToken(h.dir); left != "" || err != nil {
		t.Errorf("after the end the token of the command line is %q, %v", left, err)
	}
}

// A file of passwords that is damaged while the daemon runs ends nobody's session,
// and is told once; one that is damaged at the start keeps the door shut.
func TestADamagedFileChangesNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h := newHouse(t)
		robin := h.in("Robin", robinsWords)
		if err := os.WriteFile(h.book.Path(), []byte(`{"people":[{"name":"Robin","hash":"$2a$sec`), 0o600); err != nil {
			t.Fatal(err)
		}
		for range 3 {
			time.Sleep(lookEvery)
			h.mustBeIn(robin, true, "with a damaged file")
		}
		if n := strings.Count(h.log.String(), "cannot be read"); n != 1 {
			t.Errorf("that was told %d times, want once", n)
		}
		h.close()
		_, err := Open(Options{People: everybody, Dir: h.dir})
		if err == nil || !strings.Contains(err.Error(), h.book.Path()) || strings.Contains(err.Error(), "$2a$sec") {
			t.Errorf("opening gives %v, want an error that names the file and quotes nothing", err)
		}
	})
}

// Two commands at once lose neither's change.
func TestCommandsKeepOutOfEachOthersWay(t *testing.T) {
	dir := t.TempDir()
	var all sync.WaitGroup
	for i := range 12 {
		all.Go(func() {
			b := OpenBook("", dir)
			b.cost = bcrypt.MinCost
			if err := b.SetPassword(fmt.Sprintf("Person %c", 'A'+i), robinsWords, time.Now()); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	if known, err := OpenBook("", dir).Passwords(); err != nil || len(known) != 12 {
		t.Errorf("%d passwords, %v; want 12", len(known), err)
	}
}

// A crowd at the door is turned away rather than queued without end: the baths
// have the machine first.
func TestACrowdIsTurnedAway(t *testing.T) {
	h := newHouse(t)
	defer h.close()
	h.door.turn <- struct{}{} // somebody's password is being looked at
	ctx, cancel := context.WithCancel(t.Context())
	results := make(chan error, waiting+1)
	for range waiting + 1 {
		go func() {
			_, _, err := h.door.SignIn(ctx, Try{Name: "Robin", Password: robinsWords})
			results <- err
		}()
	}
	if err := <-results; !errors.Is(err, ErrBusy) { // the one for whom there is no place
		t.Errorf("one too many gets %v, want %v", err, ErrBusy)
	}
	cancel()
	for range waiting {
		if err := <-results; !errors.Is(err, ErrBusy) {
			t.Errorf("one who gave up gets %v", err)
		}
	}
	<-h.door.turn
	h.in("Robin", robinsWords)
}
