package mail

import (
	"context"
	"encoding/base64"
	"errors"
	"strings"
	"testing"
	"time"

	"bainward/daemon/phone/notice"
	"bainward/rules/alarm"
)

var dry = notice.Notice{
	ID: "n-17", Call: "c-3", Channel: "robin-mail", Kind: notice.Raised, Site: "Alder Yard", Bath: "north",
	Priority: alarm.Critical, Title: "north: the pan runs dry at 104 °C",
	Text: "Turn the heat off. No cold water.\n.lonely dot", Link: "https://yard.example/answer/17?key=a=b",
	Wall: time.Date(2026, 3, 1, 9, 41, 10, 0, time.UTC),
}

// clean fails if something said holds the password in a form in which it was
// given, or is too long for the record.
func clean(t *testing.T, said string) {
	t.Helper()
	for _, secret := range []string{
		password, "T0PSECRET", base64.StdEncoding.EncodeToString([]byte(password)),
		base64.StdEncoding.EncodeToString([]byte("\x00yard\x00" + password)),
	} {
		if strings.Contains(said, secret) {
			t.Errorf("%q stands in %q", secret, said)
		}
	}
	if n := len([]rune(said)); n > 120 {
		t.Errorf("%d characters: %q", n, said)
	}
	if strings.ContainsAny(said, "\r\n") {
		t.Errorf("more than one line: %q", said)
	}
}

// A mail goes out over TLS, either kind, after a login of either kind, and the
// server's last word comes back.
func TestMailIsSubmittedOverTLS(t *testing.T) {
	for _, way := range []string{"starttls", "tls"} {
		for _, login := range []string{"AUTH PLAIN", "AUTH LOGIN"} {
			t.Run(way+" "+login, func(t *testing.T) {
				s := newServer(t)
				s.implicit = way == "tls"
				s.offers = []string{"STARTTLS", login}
				settings := s.settings()
				settings.TLS = way
				answer, err := s.channel(settings).Send(t.Context(), dry)
				if err != nil {
					t.Fatal(err)
				}
				if answer != "250 2.0.0 queued as 4XyZ7" {
					t.Errorf("answer %q", answer)
				}
				for _, said := range []string{"EHLO [127.0.0.1]", login, "MAIL FROM:<yard@example.org>", "RCPT TO:<robin@example.org>", "QUIT"} {
					if !strings.Contains(s.log(), said) {
						t.Errorf("the server did not hear %q in %q", said, s.log())
					}
				}
				if !strings.Contains(s.got(), "\r\n\r\n") {
					t.Errorf("got no mail but %q", s.got())
				}
			})
		}
	}
}

// Without a login and without TLS a mail goes to a server on this machine.
func TestMailGoesToThisMachineInTheClear(t *testing.T) {
	s := newServer(t)
	settings := s.settings()
	settings.TLS, settings.User, settings.Password = "none", "", notice.Secret{}
	if _, err := s.channel(settings).Send(t.Context(), dry); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(s.log(), "AUTH") || strings.Contains(s.log(), "STARTTLS") {
		t.Errorf("heard %q", s.log())
	}
}

// Wherever the server falls silent, Send ends when its context does, and says at
// which step.
func TestASilentServerHoldsUpNobody(t *testing.T) {
	for stage, step := range map[string]string{
		"connect": "", // the dial may not even have noticed that it got through
		"EHLO":    "greeting", "STARTTLS": "starttls", "tls": "starttls",
		"AUTH": "login", "user": "login", "password": "login",
		"MAIL": "sender", "RCPT": "recipient", "DATA": "data", "end": "acceptance",
	} {
		t.Run(stage, func(t *testing.T) {
			s := newServer(t)
			s.hangs = stage
			if stage == "user" || stage == "password" {
				s.offers = []string{"STARTTLS", "AUTH LOGIN"}
			}
			ctx, cancel := context.WithCancel(t.Context())
			failed := make(chan error)
			go func() {
				_, err := s.channel(s.settings()).Send(ctx, dry)
				failed <- err
			}()
			<-s.reached
			cancel()
			err := <-failed // hangs here if Send does not honour its context
			f, ok := errors.AsType[*notice.Failure](err)
			if !ok || f.Final || !errors.Is(err, context.Canceled) || !strings.Contains(err.Error(), step) || !strings.Contains(err.Error(), ": no answer in time") {
				t.Errorf("got %v", err)
			}
			clean(t, err.Error())
		})
	}
}

// A server that has taken the mail and then does not say goodbye has taken it.
func TestASilentFarewellIsNoFailure(t *testing.T) {
	s := newServer(t)
	s.hangs = "QUIT"
	if _, err := s.channel(s.settings()).Send(t.Context(), dry); err != nil {
		t.Error(err)
	}
}

// 4yz means another try, 5yz none (RFC 5321 4.2.1), whatever the step, and the
// server's words come back without the password.
func TestRefusalsSayWhetherAnotherTryHelps(t *testing.T) {
	echo := password + " " + base64.StdEncoding.EncodeToString([]byte("\x00yard\x00"+password))
	for _, r := range []struct {
		stage, says string
		said        string
		final       bool
	}{
		{"connect", "421 4.3.2 too busy", "greeting: 421 4.3.2 too busy", false},
		{"connect", "554 no mail here", "greeting: 554 no mail here", true},
		{"STARTTLS", "454 4.7.0 not now", "starttls: 454 4.7.0 not now", false},
		{"AUTH", "535 5.7.8 wrong: " + echo, "login: 535: check user and password", true},
		{"AUTH", "454 4.7.0 " + echo, "login: 454: check", false},
		{"MAIL", "550 5.7.1 not you", "sender: 550 5.7.1 not you", true},
		{"RCPT", "550 5.1.1 nobody of that name", "recipient: 550 5.1.1 nobody of that name", true},
		{"RCPT", "450 4.2.0 later\n", "recipient: 450 4.2.0 later", false},
		{"RCPT", "421 4.3.2 closing", "recipient: 421 4.3.2 closing", false},
		{"DATA", "451 4.3.0 disk full", "data: 451 4.3.0 disk full", false},
		{"end", "552 5.3.4 too big " + echo, "acceptance: 552 5.3.4 too big", true},
		{"end", "421 " + strings.Repeat("very ", 100), "acceptance: 421 very", false},
		{"end", "nonsense", "acceptance", false},
	} {
		t.Run(r.stage+" "+r.says[:3], func(t *testing.T) {
			s := newServer(t)
			s.says[r.stage] = r.says
			_, err := s.channel(s.settings()).Send(t.Context(), dry)
			f, ok := errors.AsType[*notice.Failure](err)
			if !ok || f.Final != r.final || !strings.Contains(err.Error(), r.said) {
				t.Fatalf("got %#v: %v", err, err)
			}
			clean(t, err.Error())
		})
	}
}

// An answer that holds the password comes back without it.
func TestTheAnswerHoldsNoPassword(t *testing.T) {
	s := newServer(t)
	s.says["end"] = "250 thanks, " + password + "\x07"
	answer, err := s.channel(s.settings()).Send(t.Context(), dry)
	if err != nil {
		t.Fatal(err)
	}
	clean(t, answer)
	if answer != "250 thanks, [secret]" {
		t.Errorf("answer %q", answer)
	}
}

// Without the TLS that was asked for, no mail and no password leave the house.
func TestNothingIsSaidInTheClear(t *testing.T) {
	for name, change := range map[string]func(*server){
		"starttls is not offered": func(s *server) { s.offers = []string{"AUTH PLAIN LOGIN"} },
		"nobody vouches for it":   func(s *server) { s.roots = nil },
		"no way to log in":        func(s *server) { s.offers = []string{"STARTTLS", "AUTH GSSAPI"} },
	} {
		t.Run(name, func(t *testing.T) {
			s := newServer(t)
			change(s)
			_, err := s.channel(s.settings()).Send(t.Context(), dry)
			if f, ok := errors.AsType[*notice.Failure](err); !ok || f.Final {
				t.Errorf("got %v", err)
			} else {
				clean(t, err.Error())
			}
			for _, word := range []string{"AUTH", "MAIL", password} {
				if strings.Contains(s.log(), word) {
					t.Errorf("the server heard %q in %q", word, s.log())
				}
			}
		})
	}
}

// A server that talks without end fills no memory.
func TestATalkativeServerIsCutOff(t *testing.T) {
	s := newServer(t)
	s.says["connect"] = "220 " + strings.Repeat("blah", talkative)
	_, err := s.channel(s.settings()).Send(t.Context(), dry)
	if err == nil || !strings.Contains(err.Error(), errTalkative.Error()) {
		t.Errorf("got %v", err)
	}
}

// A port where nothing listens is said so, and another try may help.
func TestNobodyListens(t *testing.T) {
	s := newServer(t)
	_ = s.listener.Close()
	_, err := s.channel(s.settings()).Send(t.Context(), dry)
	if f, ok := errors.AsType[*notice.Failure](err); !ok || f.Final || !strings.Contains(err.Error(), "connection refused") {
		t.Errorf("got %v", err)
	}
}

// Wrong settings are found when the channel is made; the error names the channel
// and the remedy and no password.
func TestWrongSettingsAreFoundAtOnce(t *testing.T) {
	for said, change := range map[string]func(*Settings){
		`tls is "maybe": choose`:           func(s *Settings) { s.TLS = "maybe" },
		"host is missing":                  func(s *Settings) { s.Host = "" },
		"port is 70000":                    func(s *Settings) { s.Port = 70000 },
		"set both or neither":              func(s *Settings) { s.User = "" },
		"in the clear":                     func(s *Settings) { s.Host, s.TLS = "mail.example", "none" },
		`read from: "" is no mail address`: func(s *Settings) { s.From = "" },
		`read to: "robin" is no mail`:      func(s *Settings) { s.To = "robin" },
		`read to: "a@b.example, c@d`:       func(s *Settings) { s.To = "a@b.example, c@d.example" },
		"a character that an address":      func(s *Settings) { s.To = `"a> b"@example.org` },
		"cannot have":                      func(s *Settings) { s.From = "jürg@example.org" },
	} {
		s := newServer(t).settings()
		change(&s)
		_, err := New(s)
		if err == nil || !strings.Contains(err.Error(), said) || !strings.Contains(err.Error(), `"robin-mail"`) {
			t.Errorf("got %v, want %q", err, said)
			continue
		}
		if strings.Contains(err.Error(), password) {
			t.Errorf("the password stands in %v", err)
		}
	}
}

// The usual port follows from the kind of TLS (RFC 6409 3.1, RFC 8314 3.3).
func TestTheUsualPorts(t *testing.T) {
	for way, port := range map[string]string{"": "587", "starttls": "587", "tls": "465", "none": "25"} {
		c, err := New(Settings{Name: "m", Host: "mail.example", TLS: way, From: "a@example.org", To: "b@example.org"})
		if err != nil {
			t.Fatal(err)
		}
		if c.port != port {
			t.Errorf("tls %q: port %s, not %s", way, c.port, port)
		}
	}
}
