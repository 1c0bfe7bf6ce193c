package app

import (
	"crypto/tls"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/crypto/bcrypt"

	"bainward/daemon/people"
	"bainward/daemon/publish"
	"bainward/daemon/record"
	"bainward/rules"
)

const doorWords = "kettle heron gravel seven"

// robinsDoor opens a door for Robin, who keeps the site and has a password, and Ash,
// who only looks.
func robinsDoor(dir string, said func(people.Access)) (*people.Door, error) {
	book := people.OpenBook("", dir).ForTests(bcrypt.MinCost)
	if err := book.SetPassword("Robin", doorWords, time.Now()); err != nil {
		return nil, err
	}
	return doorOf(dir, said)
}

// doorOf is the same before anybody has a password.
func doorOf(dir string, said func(people.Access)) (*people.Door, error) {
	all := []people.Person{{Name: "Robin", Role: people.Keeper}, {Name: "Ash", Role: people.Viewer}}
	return people.Open(people.Options{People: all, Dir: dir, Said: said, Cost: bcrypt.MinCost})
}

// Pages that other machines reach are refused where nobody signs in, where the way
// is not private and where nobody has a password.
func TestOpenPagesAreNotServedToOthers(t *testing.T) {
	private := func(string) (*tls.Config, error) { return &tls.Config{MinVersion: tls.VersionTLS12}, nil }
	k := newKitchen(t)
	for says, change := range map[string]func(*Options){
		"nobody is named who may come":           func(*Options) {},
		"in the clear":                           func(o *Options) { o.People = robinsDoor },
		"nobody of the site file has a password": func(o *Options) { o.People, o.TLS = doorOf, private },
	} {
		o := k.options()
		o.Listen, o.RecordDir = "0.0.0.0:0", filepath.Join(t.TempDir(), "record")
		change(&o)
		_, err := New(t.Context(), o)
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("error is %v, want one that says %q", err, says)
		}
		if left, err := filepath.Glob(filepath.Join(o.RecordDir, "command-line-token")); len(left) > 0 || err != nil {
			t.Errorf("left behind: %v, %v", left, err)
		}
	}
}

// Coming in, a mistake and going stand in the record, with a name of the site file
// and no address; what is entered in between stands there under that name.
func TestTheRecordSaysWhoCameIn(t *testing.T) {
	k := newKitchenWith(t, func(o *Options) { o.People = robinsDoor })
	pages, err := k.app.handler()
	if err != nil {
		t.Fatal(err)
	}
	cookie := ""
	ask := func(path, kind, body string) int {
		r := httptest.NewRequest(http.MethodPost, "http://127.0.0.1"+path, strings.NewReader(body))
		r.RemoteAddr = "192.0.2.7:4711"
		r.Header.Set("Content-Type", kind)
		if cookie != "" {
			r.AddCookie(&http.Cookie{Name: "bainward", Value: cookie})
		}
		w := httptest.NewRecorder()
		pages.ServeHTTP(w, r)
		for _, c := range w.Result().Cookies() {
			cookie = c.Value
		}
		return w.Code
	}
	const form = "application/x-www-form-urlencoded"
	signIn := func(password string) int {
		return ask("/door", form, url.Values{"name": {"robin"}, "password": {password}}.Encode())
	}
	if signIn("not the words") != http.StatusForbidden || signIn(doorWords) != http.StatusSeeOther {
		t.Fatal("Robin cannot come in")
	}
	if status := ask("/api/bath/north/event", "application/json", `{"event":"fill","quantity":"1.45 kg","who":"Sorrel"}`); status != http.StatusOK {
		t.Fatalf("an event is answered %d", status)
	}
	if ask("/door/out", form, "") != http.StatusSeeOther {
		t.Fatal("Robin cannot go")
	}
	k.app.door.SignOut("", "") // nothing
	if by := k.eventBy(t, "fill 1.45 kg"); by != "Robin" {
		t.Errorf("the fill was entered by %q, want Robin", by)
	}
	want := []record.Access{{What: "signed in", Who: "Robin", From: "network"}, {What: "signed out", Who: "Robin", From: "network"}}
	if got := k.accesses(t); !slices.Equal(got, want) {
		t.Errorf("the record says %v, want %v", got, want)
	}
	text, err := os.ReadFile(filepath.Join(k.dir, "record.db-wal"))
	if err != nil || len(text) == 0 {
		t.Fatalf("read the file of the record: %d bytes, %v", len(text), err)
	}
	for _, secret := range []string{"192.0.2.7", doorWords, "not the words"} {
		if strings.Contains(string(text), secret) {
			t.Errorf("%q is in the record", secret)
		}
	}
}

// An order that somebody signed is entered under their name, if their role allows.
func TestSignedOrdersAreEnteredUnderTheirName(t *testing.T) {
	k := newKitchenWith(t, func(o *Options) { o.People = robinsDoor })
	for who, says := range map[string]string{"Ash": "Ash is a viewer and may not enter what was done", "Juniper": `called "Juniper"`, "robin": `called "robin"`, "": `called ""`} {
		if err := k.app.MayOrder(who); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, want an error that says %q", who, err, says)
		}
	}
	if err := k.app.MayOrder("Robin"); err != nil {
		t.Error(err)
	}
	fill, err := rules.ParseEvent("fill 1.45 kg")
	if err != nil {
		t.Fatal(err)
	}
	if err := k.app.Obey(t.Context(), publish.Command{Bath: "north", Event: fill, Who: "Robin"}); err != nil {
		t.Fatal(err)
	}
	if by := k.eventBy(t, "fill 1.45 kg"); by != "Robin" {
		t.Errorf("the fill was entered by %q, want Robin", by)
	}
}

func (k *kitchen) eventBy(t *testing.T, text string) string {
	t.Helper()
	for _, e := range k.entries() {
		var b record.Event
		if e.Kind == record.KindEvent && e.Decode(&b) == nil && b.Text == text {
			return b.By
		}
	}
	return "nobody: it is not there"
}

func (k *kitchen) accesses(t *testing.T) (all []record.Access) {
	t.Helper()
	for _, e := range k.entries() {
		if e.Kind != record.KindAccess {
			continue
		}
		var b record.Access
		if err := e.Decode(&b); err != nil || e.Bath != "" {
			t.Errorf("an entry of %q: %v", e.Bath, err)
		}
		all = append(all, b)
	}
	return all
}
