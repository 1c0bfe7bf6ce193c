package app

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/crypto/bcrypt"

	"bainward/daemon/people"
	"bainward/daemon/record"
)

// bodiesOf decodes the entries of a kind.
func bodiesOf[B any](k *kitchen, kind record.Kind) (all []B) {
	k.t.Helper()
	for _, e := range k.entries() {
		if e.Kind != kind {
			continue
		}
		var b B
		if err := json.Unmarshal(e.Body, &b); err != nil {
			k.t.Fatal(err)
		}
		all = append(all, b)
	}
	return all
}

// logOf is the whole log of the bath, as its page shows it.
func logOf(k *kitchen) string {
	k.t.Helper()
	lines, err := k.app.Events(k.t.Context(), "north", 1000)
	if err != nil {
		k.t.Fatal(err)
	}
	var all strings.Builder
	for _, l := range lines {
		all.WriteString(l.Text + "\n")
	}
	return all.String()
}

// gate is a kitchen with a door whose people a test changes.
type gate struct {
	*kitchen
	people []people.Person
}

func newGate(t *testing.T, all ...people.Person) *gate {
	g := &gate{people: all}
	g.kitchen = newKitchenWith(t, func(o *Options) {
		if g.people == nil {
			return
		}
		o.People = func(dir string, said func(people.Access)) (*people.Door, error) {
			return people.Open(people.Options{People: g.people, Dir: dir, Said: said, Cost: bcrypt.MinCost})
		}
	})
	return g
}

func (g *gate) book() people.Book {
	return people.OpenBook("", g.dir).ForTests(bcrypt.MinCost).As("robin on the command line")
}

// heard polls until the daemon has looked at the file of passwords again, and
// returns what was entered of people since the last time.
func (g *gate) heard(n int) (all []string) {
	g.t.Helper()
	for end := time.Now().Add(10 * time.Second); ; {
		g.poll(time.Second)
		persons := bodiesOf[record.Person](g.kitchen, record.KindPerson)
		if len(persons) > n || time.Now().After(end) {
			for _, p := range persons[min(n, len(persons)):] {
				all = append(all, said(p))
			}
			return all
		}
		<-time.After(50 * time.Millisecond) // the door looks once a second of real time
	}
}

func said(p record.Person) string {
	at := ""
	if p.At != "" {
		at = ", dated"
	}
	return fmt.Sprintf("%s %s as %q by %s%s", p.Who, p.What, p.Role, p.By, at)
}

func (g *gate) mustHear(from int, want ...string) {
	g.t.Helper()
	if got := g.heard(from); !slices.Equal(got, want) {
		g.t.Errorf("the record says\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

var robin, ash = people.Person{Name: "Robin", Role: people.Keeper}, people.Person{Name: "Ash", Role: people.Viewer}

// Who may come in, since when and by whom is in the record: what commands do while
// the daemon runs and while it does not, what the site file says, and what somebody
// changed by hand. Nothing is entered twice.
func TestTheRecordSaysWhoMayComeInSinceWhen(t *testing.T) {
	g := newGate(t, robin, ash)
	const site, book, robins = people.BySiteFile, people.ByBookFile, "robin on the command line"
	g.mustHear(0, `Ash added as "viewer" by `+site, `Robin added as "keeper" by `+site)

	g.mustDo(g.book().SetPassword("Robin", doorWords, time.Now()))
	g.mustHear(2, `Robin password set as "keeper" by `+robins+", dated")

	g.kill()
	g.mustDo(g.book().SetPassword("Ash", doorWords, time.Now()))
	g.mustDo(g.book().SignOut("Robin", time.Now()))
	g.mustDo(g.book().Forget("ash", time.Now()))
	g.people = []people.Person{robin, {Name: "Ash", Role: people.Auditor}, {Name: "Fern", Role: people.Maker}}
	g.start()
	g.mustHear(3, `Ash role changed as "auditor" by `+site, `Fern added as "maker" by `+site,
		`Ash password set as "auditor" by `+robins+", dated", `Robin sessions ended as "keeper" by `+robins+", dated",
		`Ash password removed as "auditor" by `+robins+", dated")

	old, err := os.ReadFile(g.book().Path())
	g.mustDo(err)
	g.mustDo(g.book().SetPassword("Robin", doorWords+" eight", time.Now()))
	g.mustHear(8, `Robin password set as "keeper" by `+robins+", dated")
	g.mustDo(os.WriteFile(g.book().Path(), old, 0o600)) // the password before is back
	g.mustHear(9, `Robin password set as "keeper" by `+book)

	g.kill()
	g.people = []people.Person{robin}
	g.mustDo(os.Remove(g.book().Path()))
	g.start()
	g.mustHear(10, `Ash removed as "" by `+site, `Fern removed as "" by `+site, `Robin password removed as "keeper" by `+book)

	g.restart(time.Minute)
	g.poll(time.Second)
	if n := g.count(record.KindPerson); n != 13 {
		t.Errorf("after a restart without a change there are %d entries, want 13", n)
	}
	g.kill()
	g.people = nil
	g.start()
	g.mustHear(13, `Robin removed as "" by `+site)
}

// No password, no hash and no token of the file of passwords is in the record.
func TestNoSecretOfThePeopleIsInTheRecord(t *testing.T) {
	g := newGate(t, robin, ash)
	g.mustDo(g.book().SetPassword("Robin", doorWords, time.Now()))
	g.heard(2)
	text, err := os.ReadFile(g.book().Path())
	g.mustDo(err)
	g.kill()
	files, err := filepath.Glob(filepath.Join(g.dir, "record.db*"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no record: %v", err)
	}
	secrets := []string{doorWords}
	for _, part := range strings.Split(string(text), `"`) {
		if strings.HasPrefix(part, "$2a$") || len(part) == 43 { // a bcrypt hash; 256 bits in base64
			secrets = append(secrets, part)
		}
	}
	if len(secrets) != 3 {
		t.Fatalf("the file of passwords holds other secrets than a hash and an edition: %s", text)
	}
	for _, file := range files {
		kept, err := os.ReadFile(file)
		g.mustDo(err)
		for _, secret := range secrets {
			if strings.Contains(string(kept), secret) {
				t.Errorf("%s holds a secret of the file of passwords", file)
			}
		}
	}
}

// A file that somebody wrote nonsense into holds up no reading of a bath.
func TestNonsenseInTheFileOfPasswordsHoldsUpNothing(t *testing.T) {
	g := newGate(t, robin)
	g.mustDo(os.WriteFile(g.book().Path(), []byte(`{"people":[{"name":"","hash":"x"},{"name":"Robin","hash":"y"}],`+
		`"trail":[{"at":"2026-03-01T09:00:00Z","what":"crowned","who":"Robin","by":"x"},{"at":"2026-03-01T09:00:01Z","what":"password set","who":"Robin","by":""}]}`), 0o600))
	g.mustHear(1, `Robin password set as "keeper" by `+people.ByBookFile)
	before := g.count(record.KindReading)
	g.poll(time.Second)
	if g.count(record.KindReading) != before+1 {
		t.Error("the baths are read no more")
	}
}
