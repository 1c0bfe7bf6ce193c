package people

import (
	"os"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

// march is when the commands of these tests were given.
var march = time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)

// What a command did stands beside what it changed, with the user who gave it and an
// instant of its own, even when the clock was set back in between.
func TestACommandLeavesATrail(t *testing.T) {
	h := newHouse(t)
	defer h.close()
	b := h.book.As("robin on the command line")
	for _, err := range []error{
		b.SetPassword("Ash", robinsWords, march.Add(time.Hour)), b.SignOut("ash", march), b.Forget("ASH", march),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	p, err := b.read()
	if err != nil {
		t.Fatal(err)
	}
	own := p.Trail[len(p.Trail)-3:]
	for i, want := range []Changed{PasswordSet, SessionsEnded, PasswordRemoved} {
		l := own[i]
		if l.What != want || l.Who != "Ash" || l.By != "robin on the command line" || i > 0 && !l.At.After(own[i-1].At) {
			t.Errorf("line %d is %+v, want %s of Ash", i, l, want)
		}
	}
	if own[0].Mark == "" || own[0].Mark == own[1].Mark || own[2].Mark != "" {
		t.Errorf("the marks are %q, %q, %q", own[0].Mark, own[1].Mark, own[2].Mark)
	}
}

// A command that fails leaves neither a change nor a line about it.
func TestACommandThatFailsLeavesNoTrail(t *testing.T) {
	h := newHouse(t)
	defer h.close()
	before, err := os.ReadFile(h.book.Path())
	if err != nil {
		t.Fatal(err)
	}
	if h.book.Forget("Ash", march) == nil || h.book.SignOut("Ash", march) == nil || h.book.SetPassword("Ash", "short", march) == nil {
		t.Error("what cannot be is done")
	}
	if after, err := os.ReadFile(h.book.Path()); err != nil || string(after) != string(before) {
		t.Errorf("the file changed: %v\n%s", err, after)
	}
}

// The trail grows no further than a daemon that is off for long lets it; what fell
// out of it is still found by comparing.
func TestTheTrailIsBounded(t *testing.T) {
	var p page
	p.People = []known{{Name: "Robin", Hash: "h", Edition: "e"}}
	for i := range 2 * kept {
		p.note(SessionsEnded, "Robin", "x", march.Add(time.Duration(i)*time.Second))
	}
	if len(p.Trail) != kept || !p.Trail[0].At.Equal(march.Add(kept*time.Second)) {
		t.Errorf("%d lines are kept, from %s on", len(p.Trail), p.Trail[0].At)
	}
}

// What was changed since is told once: first the site file, then commands, then what
// no command did. Capitals make no other person.
func TestSinceTellsWhatChanged(t *testing.T) {
	synctest.Test(t, sinceTells)
}

func sinceTells(t *testing.T) {
	h := newHouse(t)
	defer h.close()
	h.set("juniper", robinsWords) // is in no site file
	first := h.door.Since(nil, time.Time{})
	stood, last := map[string]Standing{}, time.Time{}
	for _, c := range first {
		stood[c.Who] = Standing{Role: c.Role, Mark: c.Mark}
		if c.At.After(last) {
			last = c.At
		}
	}
	if len(first) != 6 || stood["Robin"].Role != Keeper || stood["Robin"].Mark == "" || stood["Rowan"].Mark != "" {
		t.Fatalf("at first it tells %+v", first)
	}
	time.Sleep(lookEvery)
	before := h.door.Edition()
	if again := h.door.Since(stood, last); len(again) != 1 || again[0].Who != "juniper" || again[0].Role != NoRole {
		t.Errorf("of juniper it tells %+v", again)
	} else {
		stood["juniper"], last = Standing{Mark: again[0].Mark}, again[0].At
	}
	if h.door.Edition() != before {
		t.Error("nothing changed, and the edition did")
	}
	if again := h.door.Since(stood, last); len(again) != 0 {
		t.Errorf("it tells again: %+v", again)
	}
	text, err := os.ReadFile(h.book.Path())
	if err != nil {
		t.Fatal(err)
	}
	renamed := strings.Replace(string(text), `"name": "Robin"`, `"name": "ROBIN"`, 1)
	if renamed == string(text) {
		t.Fatalf("Robin is not in %s", text)
	}
	if err := os.WriteFile(h.book.Path(), []byte(renamed), 0o600); err != nil {
		t.Fatal(err)
	}
	time.Sleep(lookEvery)
	if h.door.Edition() == before {
		t.Error("the file changed, and the edition did not")
	}
	if again := h.door.Since(stood, last); len(again) != 0 {
		t.Errorf("capitals are told as %+v", again)
	}
}

// The mark tells a password from the next, and neither hash nor edition from it.
func TestTheMarkGivesNothingAway(t *testing.T) {
	marks := []string{
		known{Hash: "a", Edition: "e"}.mark(), known{Hash: "b", Edition: "e"}.mark(), known{Hash: "a", Edition: "f"}.mark(),
		known{Hash: "a", Edition: "e", Name: "x", Set: march}.mark(),
	}
	if marks[0] != marks[3] || marks[0] == marks[1] || marks[0] == marks[2] {
		t.Errorf("the marks are %v", marks)
	}
	if slices.ContainsFunc(marks, func(m string) bool { return len(m) != 16 }) { // 64 bits
		t.Errorf("the marks are %v, want 16 digits", marks)
	}
}
