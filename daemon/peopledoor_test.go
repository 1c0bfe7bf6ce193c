package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"os/user"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"bainward/daemon/people"
	"bainward/daemon/record"
	"bainward/daemon/site"
)

const robinsWords = "kettle heron gravel seven"

// Site file and door know the same roles, by the same words.
func TestTheRolesAreTheSameEverywhere(t *testing.T) {
	words := site.Roles()
	for i, word := range words {
		role, err := people.ParseRole(word)
		if err != nil || int(role) != i+1 || role.String() != word {
			t.Errorf("role %d is %q in the site file, and %s, %v at the door", i+1, word, role, err)
		}
	}
	if people.Role(len(words)).String() != "keeper" {
		t.Errorf("the site file knows %v", words)
	}
}

// doorYard is a daemon that serves its pages under a self-made certificate to Robin
// and Sorrel, who have passwords.
type doorYard struct {
	workshop
	listen, record, site string
	out                  *lockedBuffer
}

func newDoorYard(t *testing.T) *doorYard {
	t.Helper()
	return newDoorYardWith(t, "fingerprint", func(*doorYard) string { return "[door]\ntls = \"self-made\"\n" })
}

// newDoorYardWith has a site file that ends with what more gives, and waits until the
// daemon says something.
func newDoorYardWith(t *testing.T, says string, more func(*doorYard) string) *doorYard {
	t.Helper()
	dir := t.TempDir()
	y := &doorYard{workshop: workshop{t: t, dir: dir}, listen: freePort(t), record: filepath.Join(dir, "record"), out: &lockedBuffer{}}
	for address, text := range wireFiles {
		y.file(filepath.Join("w1", address, "w1_slave"), text)
	}
	y.site = y.file("alder.toml", strings.Replace(fmt.Sprintf(deathSite, "Alder Yard", ""), "[broker]\n", "", 1)+`
[[person]]
name = "Robin"
role = "keeper"
[[person]]
name = "Sorrel"
role = "viewer"
`+more(y))
	if err := os.MkdirAll(y.record, 0o750); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"Robin", "Sorrel"} {
		y.setPassword(name, robinsWords)
	}
	ctx, stop := context.WithCancel(context.Background())
	ready, gone := make(chan struct{}), make(chan int, 1)
	go func() {
		gone <- run(ctx, []string{"watch", "--site", y.site, "--root", filepath.Join(dir, "w1"), "--listen", y.listen, "--record", y.record},
			&teller{to: y.out, awaited: awaited{text: says, seen: ready}}, &bytes.Buffer{})
	}()
	t.Cleanup(func() {
		stop()
		if code := <-gone; code != exitDone {
			t.Errorf("the daemon ended with %d", code)
		}
	})
	select {
	case <-ready:
	case <-time.After(30 * time.Second):
		t.Fatalf("the daemon does not come up: %s", y.out)
	}
	return y
}

func (y *doorYard) setPassword(name, words string) {
	y.t.Helper()
	if err := people.OpenBook("", y.record).SetPassword(name, words, time.Now()); err != nil {
		y.t.Fatal(err)
	}
}

// entries decodes the entries of a kind.
func entries[B any](y *doorYard, kind record.Kind) (all []B) {
	y.t.Helper()
	r, err := record.OpenReader(y.record)
	if err != nil {
		y.t.Fatal(err)
	}
	defer r.Close()
	for e, err := range r.Entries(y.t.Context(), 1, 1<<40) {
		if err != nil {
			y.t.Fatal(err)
		}
		if e.Kind != kind {
			continue
		}
		var b B
		if err := json.Unmarshal(e.Body, &b); err != nil {
			y.t.Fatal(err)
		}
		all = append(all, b)
	}
	return all
}

// A command asks over loopback, under the site's own certificate, with the token that
// only the daemon's user and root can read; what it enters is recorded under the
// user's name. Without the token it is told what to do.
func TestACommandIsRecordedUnderItsUser(t *testing.T) {
	y := newDoorYard(t)
	s, err := site.Load(y.site)
	if err != nil {
		t.Fatal(err)
	}
	t.Setenv("SUDO_USER", "")
	var answer struct{ Done string }
	d := newAskedDaemon(s, y.listen, y.record)
	if err := d.ask(t.Context(), http.MethodPost, "/api/bath/north/event", `{"event":"fill","quantity":"1.45 kg","who":"somebody else"}`, &answer); err != nil {
		t.Fatal(err)
	}
	u, err := user.Current()
	if err != nil {
		t.Fatal(err)
	}
	events := entries[record.Event](y, record.KindEvent)
	if len(events) != 1 || events[0].By != u.Username+" on the command line" {
		t.Errorf("the record says %+v, want it by %s on the command line", events, u.Username)
	}
	t.Setenv("SUDO_USER", "robin")
	if who := whoAsks(); u.Uid == "0" && who != "robin" {
		t.Errorf("behind sudo asks %q", who)
	}
	d.token = "another"
	err = d.ask(t.Context(), http.MethodGet, "/api/baths", "", &json.RawMessage{})
	if err == nil || !strings.Contains(err.Error(), "open /door and sign in") {
		t.Errorf("with another token it is told %v", err)
	}
	token := filepath.Join(y.record, "command-line-token")
	if info, err := os.Stat(token); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the token has mode %v, %v", info.Mode(), err)
	}
	if d := newAskedDaemon(s, y.listen, t.TempDir()); d.ask(t.Context(), http.MethodGet, "/api/baths", "", &json.RawMessage{}) == nil {
		t.Error("a command that knows no certificate asks all the same")
	}
}

// On a phone: the door is met first, the right words lead to the page that was asked
// for, a deed there is in the record under that name, a password that was set anew
// elsewhere ends it, and signing out does too.
func TestSignInOnAPhone(t *testing.T) {
	y := newDoorYard(t)
	p := openDoorPhone(t)
	p.do(chromedp.EmulateViewport(390, 844), chromedp.Navigate("https://"+y.listen+"/bath/north"))
	p.until("the door is met", `location.pathname === "/door" && !!document.querySelector("#door-name")`)
	p.shoot("door")
	p.until("it fits", `document.documentElement.scrollWidth <= window.innerWidth`)
	p.signIn("robin", "not the words at all")
	p.until("a mistake is told", `document.querySelector("#door-says")?.textContent === "The name or the password is wrong."`)
	p.shoot("wrong")
	p.until("the name is kept", `document.querySelector("#door-name").value === "robin"`)
	p.signIn("", robinsWords)
	p.until("the page of the bath is there", `location.pathname === "/bath/north" && document.documentElement.classList.contains("has-js")`)
	p.until("the page says who is in", `document.querySelector(".who-is-in")?.textContent === "Robin, sign out"`)
	p.until("it asks for no name", `document.querySelector("#who").closest("label").hidden`)
	if got := p.ask(`document.cookie`); got != "" {
		t.Errorf("a script sees the cookie: %q", got)
	}
	const fill = "[data-deed=fill] "
	p.do(chromedp.Click(chromedp.CSS(fill+"[data-opens]")), chromedp.WaitVisible(chromedp.CSS(fill+"form")),
		chromedp.SendKeys(chromedp.CSS(fill+"[name=number]"), "1.45"), chromedp.Click(chromedp.CSS(fill+"[type=submit]")))
	p.until("the deed is recorded", `document.querySelector("[data-deed=fill] [data-answer]")?.textContent.includes("recorded: fill") || document.body.textContent.includes("no. ")`)
	p.shoot("bath")
	for end := time.Now().Add(15 * time.Second); len(entries[record.Event](y, record.KindEvent)) == 0; {
		if time.Now().After(end) {
			t.Fatal("the deed never came into the record")
		}
		<-time.After(50 * time.Millisecond) // a browser: there is nothing to wait on
	}
	if events := entries[record.Event](y, record.KindEvent); events[0].By != "Robin" {
		t.Errorf("the record says %+v, want it by Robin", events)
	}
	if got := entries[record.Access](y, record.KindAccess); len(got) != 1 || got[0] != (record.Access{What: "signed in", Who: "Robin", From: "here"}) {
		t.Errorf("the record says of the door %+v", got)
	}

	y.setPassword("Robin", robinsWords+" nine")
	<-time.After(1100 * time.Millisecond) // the daemon looks once a second
	p.do(chromedp.Navigate("https://" + y.listen + "/bath/north"))
	p.until("the new password is asked for", `location.pathname === "/door"`)
	p.signIn("Robin", robinsWords+" nine")
	p.until("the page of the bath is there", `location.pathname === "/bath/north"`)
	p.do(chromedp.Navigate("https://"+y.listen+"/door"), chromedp.WaitVisible(chromedp.CSS("form[action='/door/out'] button")))
	p.shoot("in")
	p.do(chromedp.Click(chromedp.CSS("form[action='/door/out'] button")))
	p.until("the door is met again", `!!document.querySelector("#door-name")`)

	p.signIn("Sorrel", robinsWords)
	p.until("the first page is there", `location.pathname === "/" && !!document.querySelector(".who-is-in")`)
	p.until("who only looks is offered no deeds", `getComputedStyle(document.querySelector(".deeds")).display === "none"`)
	p.shoot("viewer")
	for _, c := range p.complaints {
		if !strings.Contains(c, "status of 403") && !strings.Contains(c, "status of 401") { // the browser's own, of what is meant here
			t.Errorf("a page complains: %s", c)
		}
	}
}
