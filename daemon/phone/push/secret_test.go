package push

import (
	"encoding/base64"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// Whatever goes wrong, neither answer nor error, nor any cause within it, holds
// the endpoint or a key of the phone.
func TestTheEndpointIsToldToNobody(t *testing.T) {
	const token = "tok3n-of-a-phone"
	s := newService(t)
	closed := httptest.NewServer(nil)
	closed.Close()
	for name, c := range map[string]struct {
		address string
		answer  http.HandlerFunc
	}{
		"status":        {s.URL, status(500)},
		"gone":          {s.URL, status(410)},
		"redirect":      {s.URL, status(307, "Location", s.URL+"/w/"+token+"/again")},
		"bad redirect":  {s.URL, status(302, "Location", "::"+token)},
		"dropped":       {s.URL, func(http.ResponseWriter, *http.Request) { panic(http.ErrAbortHandler) }},
		"refused":       {closed.URL, nil},
		"speaks no TLS": {strings.Replace(s.URL, "http:", "https:", 1), nil},
	} {
		o := openOffice(t)
		p := newPhone(t, c.address+"/w/"+token)
		if err := o.SignUp("Robin", "kitchen phone", p.subscription()); err != nil {
			t.Fatal(err)
		}
		s.on("/w/"+token, c.answer)
		answer, err := o.Channel("page", "Robin").Send(t.Context(), raised())
		if err == nil {
			t.Errorf("%s: %s", name, answer)
		}
		mustHide(t, name, err, token, "/w/", base64.RawURLEncoding.EncodeToString(p.auth))
	}
}

// A name that leads nowhere is not quoted either: the resolver's error holds it.
func TestAnUnknownHostIsToldToNobody(t *testing.T) {
	o := openOffice(t)
	if err := o.SignUp("Robin", "kitchen phone", newPhone(t, "https://robins-host.example/tok3n").subscription()); err != nil {
		t.Fatal(err)
	}
	o.client.Transport = transport(func(r *http.Request) (*http.Response, error) {
		return nil, &net.OpError{Op: "dial", Net: "tcp", Err: &net.DNSError{Err: "no such host", Name: r.URL.Hostname(), IsNotFound: true}}
	})
	_, err := o.Channel("page", "Robin").Send(t.Context(), raised())
	if err == nil || !strings.Contains(err.Error(), "no such host") {
		t.Errorf("the story is lost: %v", err)
	}
	mustHide(t, "resolver", err, "robins-host", "tok3n")
}

func mustHide(t *testing.T, name string, err error, secrets ...string) {
	t.Helper()
	for cause := err; cause != nil; cause = errors.Unwrap(cause) {
		for _, secret := range secrets {
			if strings.Contains(cause.Error(), secret) {
				t.Errorf("%s: %q stands in %q", name, secret, cause)
			}
		}
	}
}

// A signed-up phone prints neither its endpoint nor its keys, the office prints
// not its own, and what is refused is not quoted.
func TestADevicePrintsNoSecret(t *testing.T) {
	p := newPhone(t, "https://push.example/tok3n")
	o := openOffice(t)
	if err := o.SignUp("Robin", "", p.subscription()); err != nil {
		t.Fatal(err)
	}
	c := o.Channel("page", "Robin")
	said := fmt.Sprintf("%v %+v %#v %+v %v %+v %#v %+v", o.list(), o.list(), o.list(), o.Devices(""), o, o, o, c)
	p.endpoint = "gopher://push.example/tok3n"
	err := o.SignUp("Robin", "", p.subscription())
	for _, text := range []string{said, fmt.Sprint(err)} {
		if strings.Contains(text, "tok3n") || strings.Contains(text, base64.RawURLEncoding.EncodeToString(p.auth)) ||
			strings.Contains(text, o.key.secret.Reveal()) {
			t.Errorf("a secret stands in %q", text)
		}
	}
}
