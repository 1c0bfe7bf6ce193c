package site

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"bainward/rules/alarm"
)

// withCalls is a site with everybody and everything that is called.
const withCalls = designExample + `[broker]
url = "mqtt://127.0.0.1"
[phone]
address = "https://alder-yard.example"
repeat_min = 4
subject = "mailto:keeper@alder-yard.example"
[[channel]]
name = "robin-phone"
kind = "push"
contact = "Robin"
[[channel]]
name = "yard-chat"
kind = "service"
url_env = "YARD_CHAT_URL"
[[channel]]
name = "mail"
kind = "mail"
host = "mail.alder-yard.example"
port = 465
tls = "tls"
user = "bainward"
password_file = "/etc/bainward/mail.password"
from = "bainward@alder-yard.example"
to = ["robin@alder-yard.example", "sorrel@alder-yard.example"]
picture = true
[[channel]]
name = "desk"
kind = "webhook"
url_file = "/etc/bainward/desk.url"
key_file = "/etc/bainward/desk.key"
[[channel]]
name = "buzzer"
kind = "pin"
pin = "GPIO17"
active = "low"
least = "high"
steady = true
[[contact]]
name = "Robin"
channels = ["robin-phone", "mail"]
wait_min = 2
least = "medium"
quiet = "22:00-07:00"
[[contact]]
name = "Sorrel"
channels = ["yard-chat", "desk"]
[heartbeat]
url_file = "/etc/bainward/heartbeat.url"
every_s = 30
[[sibling]]
site = "Long Meadow"
[[cutout]]
bath = "north"
pin = "GPIO27"
mode = "pulse"
`

// What is written about calls reaches the Site, with times as durations.
func TestEverythingAboutCallsReachesTheSite(t *testing.T) {
	s := mustParse(t, withCalls)
	same(t, "phone", s.Phone, Phone{Address: "https://alder-yard.example", Repeat: 4 * time.Minute, Subject: "mailto:keeper@alder-yard.example"})
	same(t, "channels", s.Channels, []Channel{
		{Kind: PushChannel, Name: "robin-phone", Contact: "Robin"},
		{Kind: ServiceChannel, Name: "yard-chat", URL: SecretRef{Env: "YARD_CHAT_URL"}},
		{Kind: MailChannel, Name: "mail", Picture: true, Mail: Mail{
			Host: "mail.alder-yard.example", Port: 465, TLS: TLS,
			User: "bainward", Password: SecretRef{File: "/etc/bainward/mail.password"},
			From: "bainward@alder-yard.example", To: []string{"robin@alder-yard.example", "sorrel@alder-yard.example"},
		}},
		{
			Kind: WebhookChannel, Name: "desk",
			URL: SecretRef{File: "/etc/bainward/desk.url"}, Key: SecretRef{File: "/etc/bainward/desk.key"},
		},
		{Kind: PinChannel, Name: "buzzer", Pin: Pin{Name: "GPIO17", Low: true, Least: alarm.High, Steady: true}},
	})
	same(t, "contacts", s.Contacts, []Contact{
		{
			Name: "Robin", Channels: []string{"robin-phone", "mail"}, Wait: 2 * time.Minute,
			Least: alarm.Medium, Quiet: Quiet{From: 22 * 60, To: 7 * 60},
		},
		{Name: "Sorrel", Channels: []string{"yard-chat", "desk"}, Wait: 5 * time.Minute},
	})
	same(t, "heartbeat", *s.Heartbeat, Heartbeat{URL: SecretRef{File: "/etc/bainward/heartbeat.url"}, Every: 30 * time.Second})
	same(t, "siblings", s.Siblings, []string{"Long Meadow"})
	same(t, "cut-outs", s.Cutouts, []Cutout{{Bath: "north", Pin: "GPIO27", Mode: PulseMode}})
}

// What may be left out has a default, and nobody is called unless the file says.
func TestCallsHaveDefaults(t *testing.T) {
	s := mustParse(t, designExample+`[broker]
url = "mqtt://127.0.0.1"
[[channel]]
name = "mail"
kind = "mail"
host = "localhost"
from = "bainward@alder-yard.example"
to = ["robin@alder-yard.example"]
[[channel]]
name = "lamp"
kind = "pin"
pin = "GPIO17"
[heartbeat]
url_env = "BEAT"
[[cutout]]
bath = "north"
topic = "workshop/socket1/set"
`)
	same(t, "phone", s.Phone, Phone{Repeat: 3 * time.Minute})
	mail := s.Channels[0].Mail
	same(t, "mail's port and TLS", fmt.Sprint(mail.Port, mail.TLS), "587 starttls")
	same(t, "lamp", s.Channels[1].Pin, Pin{Name: "GPIO17", Least: alarm.Medium})
	same(t, "heartbeat", s.Heartbeat.Every, time.Minute)
	same(t, "cut-out", s.Cutouts[0], Cutout{Bath: "north", Topic: "workshop/socket1/set", On: "ON", Off: "OFF", Every: 10 * time.Second})
	same(t, "contacts", len(s.Contacts), 0)
	if plain := mustParse(t, designExample); len(plain.Channels)+len(plain.Contacts)+len(plain.Siblings)+len(plain.Cutouts) > 0 || plain.Heartbeat != nil {
		t.Errorf("a file that says nothing of calls has %+v", plain)
	}
}

// same compares through their Go syntax, which tells every field.
func same(t *testing.T, what string, got, want any) {
	t.Helper()
	if g, w := fmt.Sprintf("%#v", got), fmt.Sprintf("%#v", want); g != w {
		t.Errorf("%s: got\n%s\nwant\n%s", what, g, w)
	}
}

// said parses the design's example with text before it, and returns what is
// found wrong, each with its line.
func said(t *testing.T, text string) string {
	t.Helper()
	_, err := Parse("test.toml", []byte(text+designExample))
	if err == nil {
		return ""
	}
	all, ok := errors.AsType[Errors](err)
	if !ok {
		t.Fatalf("error is a %T, want Errors", err)
	}
	var lines []string
	for _, p := range all {
		lines = append(lines, fmt.Sprintf("%d %s: %s", p.Line, p.In, p.Text))
	}
	return strings.Join(lines, "\n")
}

// Quiet hours hold the minutes between their ends, and so do those across
// midnight: the last minute belongs to the day.
func TestQuietHoursMayRunAcrossMidnight(t *testing.T) {
	for _, c := range []struct {
		text      string
		in, after []int
	}{
		{"13:00-14:30", []int{13 * 60, 14*60 + 29}, []int{12*60 + 59, 14*60 + 30, 0}},
		{"22:00-07:00", []int{22 * 60, 23*60 + 59, 0, 6*60 + 59}, []int{7 * 60, 12 * 60, 21*60 + 59}},
		{"00:00-06:00", []int{0, 359}, []int{360, 1439}},
		{"18:00-00:00", []int{18 * 60, 1439}, []int{0, 18*60 - 1}},
	} {
		text := strings.Replace(withCalls, "22:00-07:00", c.text, 1)
		q := mustParse(t, text).Contacts[0].Quiet
		if q.String() != c.text {
			t.Errorf("quiet %s is read as %s", c.text, q)
		}
		for _, minute := range c.in {
			if !q.Holds(minute) {
				t.Errorf("quiet %s leaves out %02d:%02d", c.text, minute/60, minute%60)
			}
		}
		for _, minute := range c.after {
			if q.Holds(minute) {
				t.Errorf("quiet %s holds %02d:%02d", c.text, minute/60, minute%60)
			}
		}
	}
	for minute := range 24 * 60 {
		if (Quiet{}).Holds(minute) {
			t.Fatalf("no quiet hours hold minute %d", minute)
		}
	}
}

// Lower case, capitals and slips of a letter or two find the name that was
// meant; another word finds all names.
func TestASlipFindsTheNameThatWasMeant(t *testing.T) {
	names := []string{"robin-phone", "mail", "yard-chat"}
	for word, want := range map[string]string{
		"robin-fone": `did you mean "robin-phone"?`,
		"Mail":       `did you mean "mail"?`,
		"mial":       `did you mean "mail"?`,
		"yardchat":   `did you mean "yard-chat"?`,
		"pager":      "named: robin-phone, mail, yard-chat",
	} {
		if got := meant(word, names); got != want {
			t.Errorf("%q: %s, want %s", word, got, want)
		}
	}
	if got := meant("mail", nil); got != "none is named" {
		t.Errorf("without any name: %s", got)
	}
	// The textbook's example of the distance (from memory).
	if got := changes("kitten", "sitting"); got != 3 {
		t.Errorf("kitten to sitting takes %d changes, want 3", got)
	}
}
