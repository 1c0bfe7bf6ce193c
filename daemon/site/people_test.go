package site

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

const withPeople = `[[person]]
name = "Robin"
role = "keeper"
[[person]]
name = "Sorrel"
role = "maker"
`

// People, the way they come in and the names of the machine are read as written.
func TestPeopleAndTheirDoorAreRead(t *testing.T) {
	s, err := Load(filepath.Join(sites, "alder-yard.toml"))
	if err != nil {
		t.Fatal(err)
	}
	if want := []Person{{"Robin", "keeper"}, {"Sorrel", "maker"}}; !slices.Equal(s.People, want) {
		t.Errorf("people are %v, want %v", s.People, want)
	}
	d := s.Door
	if d.PeopleFile != "/etc/bainward/people" || d.Cert != "/etc/bainward/tls/cert.pem" || d.Key != "/etc/bainward/tls/key.pem" ||
		d.SelfMade || d.MetricsToken.File != "/etc/bainward/metrics.token" {
		t.Errorf("the door is %+v", d)
	}
	if got, want := s.Names("pi"), []string{"baths.alder-yard.example", "pi", "pi.local", "alder-yard.example"}; !slices.Equal(got, want) {
		t.Errorf("the machine is called %v, want %v", got, want)
	}
}

// What is served beyond this machine is private on its way; what is not need not be.
func TestWhatOthersReachIsPrivate(t *testing.T) {
	for _, c := range []struct {
		text, listen string
		want         bool
	}{
		{withPeople, "127.0.0.1:8470", false},
		{withPeople, "0.0.0.0:8470", true},
		{withPeople, ":8470", true},
		{withPeople, "[::1]:8470", false},
		{withPeople + "[door]\ntls = \"self-made\"\n", "127.0.0.1:8470", true},
		{withPeople + "[door]\ntls_cert = \"/c\"\ntls_key = \"/k\"\n", "127.0.0.1:8470", true},
		{"", "127.0.0.1:8470", false},
	} {
		s, err := Parse("x.toml", []byte(c.text+designExample))
		if err != nil {
			t.Fatal(err)
		}
		if got := s.TLS(c.listen); got != c.want {
			t.Errorf("at %s private is %v, want %v, with\n%s", c.listen, got, c.want, c.text)
		}
	}
}

// Each of these is refused, and the words say what to do.
func TestBadDoorsAreRefused(t *testing.T) {
	listening := strings.Replace(designExample, "elevation_m = 120", "elevation_m = 120\nlisten = \"0.0.0.0:8470\"", 1)
	if listening == designExample {
		t.Fatal("the example has changed")
	}
	account := "[broker]\nurl = \"mqtt://127.0.0.1\"\nname = \"alder\"\npassword_file = \"/p\"\n"
	for text, says := range map[string]string{
		listening: `[site]: listen = "0.0.0.0:8470" lets other machines in, and nobody is named who may come: add a [[person]]`,
		"[[person]]\nname = \"Robin\"\nrole = \"owner\"\n" + designExample:                                                   `[[person]] "Robin": role = "owner" must be "viewer"`,
		"[[person]]\nname = \"Robin\"\n" + designExample:                                                                     `role = "" must be`,
		withPeople + "[[person]]\nname = \"ROBIN\"\nrole = \"maker\"\n" + designExample:                                      `name = "ROBIN" is taken by line`,
		"[person]\nname = \"Robin\"\nrole = \"maker\"\n" + designExample:                                                     `double brackets`,
		withPeople + "[door]\ntls_cert = \"/c\"\n" + designExample:                                                           `tls_cert and tls_key go together`,
		withPeople + "[door]\ntls_cert = \"c\"\ntls_key = \"/k\"\n" + designExample:                                          `tls_cert must be the whole path`,
		withPeople + "[door]\ntls = \"none\"\n" + designExample:                                                              `tls = "none" must be "self-made"`,
		withPeople + "[door]\ntls = \"self-made\"\ntls_cert = \"/c\"\ntls_key = \"/k\"\n" + designExample:                    `exclude each other`,
		withPeople + "[door]\nhosts = [\"https://alder-yard.example\"]\n" + designExample:                                    `without http:// and port`,
		"[door]\npeople_file = \"/p\"\n" + designExample:                                                                     `means nothing without a [[person]]`,
		withPeople + account + "orders = \"signed\"\n" + designExample:                                                       `orders_key_file must be the whole path`,
		withPeople + account + "orders = \"open\"\norders_key_file = \"/k\"\n" + designExample:                               `means nothing with orders = "open"`,
		withPeople + account + "orders = \"yes\"\n" + designExample:                                                          `orders = "yes" must be "signed"`,
		account + "orders = \"signed\"\norders_key_file = \"/k\"\n" + designExample:                                          `wants somebody who may give them`,
		account + "orders = true\n" + designExample:                                                                          `orders wants text in "quotes"`,
		withPeople + account + "orders_key_file = \"/k\"\n" + designExample:                                                  `means nothing without orders = "signed"`,
		withPeople + "[broker]\nurl = \"mqtt://127.0.0.1\"\norders = \"signed\"\norders_key_file = \"/k\"\n" + designExample: `give name and password_file`,
		"[door]\nmetrics_token = \"t0psecret\n" + designExample:                                                              `metrics_token`,
	} {
		_, err := Parse("x.toml", []byte(text))
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("error is %v, want one that says %q, of\n%.200s", err, says, text)
		}
		if err != nil && strings.Contains(err.Error(), "t0psecret") {
			t.Errorf("a secret is repeated: %v", err)
		}
	}
}

// Links that would lead nowhere are told.
func TestLinksInTheClearToPrivatePagesAreWarnedOf(t *testing.T) {
	const address = "[phone]\naddress = \"http://alder-pi.local:8470\"\n"
	for door, want := range map[string]bool{"[door]\ntls = \"self-made\"\n": true, "": false} {
		s, err := Parse("x.toml", []byte(withPeople+door+address+designExample))
		if err != nil {
			t.Fatal(err)
		}
		if all := strings.Join(s.Warnings(), "\n"); strings.Contains(all, "lead nowhere") != want {
			t.Errorf("with %q the warnings are %q", door, all)
		}
	}
}

// A site that nobody keeps, and open orders beside people, are told.
func TestOddDoorsAreWarnedOf(t *testing.T) {
	s, err := Parse("x.toml", []byte("[[person]]\nname = \"Sorrel\"\nrole = \"maker\"\n[broker]\nurl = \"mqtt://127.0.0.1\"\nname = \"alder\"\npassword_file = \"/p\"\norders = \"open\"\n"+designExample))
	if err != nil {
		t.Fatal(err)
	}
	all := strings.Join(s.Warnings(), "\n")
	for _, says := range []string{"no [[person]] is a keeper", `orders = "open" lets whoever`} {
		if !strings.Contains(all, says) {
			t.Errorf("the warnings do not say %q: %s", says, all)
		}
	}
}
