package push

import (
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"math/big"
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"bainward/daemon/phone/notice"
)

// One notice goes out as RFC 8030 and RFC 8291 ask, and the phone reads the
// same words out of it.
func TestAPhoneReadsWhatWasSent(t *testing.T) {
	s, o := newService(t), openOffice(t, Pictures(func(n notice.Notice) string { return "/bath/" + n.Bath + "/trace.png" }))
	robin := signUp(t, o, s, "/w/abc", "kitchen phone")
	answer, err := o.Channel("page", "Robin").Send(t.Context(), raised())
	if err != nil || answer != "1 of 1 devices took it" {
		t.Fatalf("%q, %v", answer, err)
	}
	m := <-s.got
	for name, want := range map[string]string{
		"Ttl": "3600", "Urgency": "high", "Content-Encoding": "aes128gcm", "Topic": topic("call-12"),
	} {
		if got := m.header.Get(name); got != want {
			t.Errorf("header %s is %q, want %q", name, got, want)
		}
	}
	n := raised()
	want := payload{
		ID: n.ID, Kind: "raised", Title: n.Title, Text: n.Text, Link: n.Link, Tag: n.Call,
		Priority: "critical", Picture: "/bath/north/trace.png", Wall: n.Wall,
	}
	if got := robin.read(t, m); got != want {
		t.Errorf("the phone reads %+v, want %+v", got, want)
	}
}

// The sender proves itself as RFC 8292 has it: a token signed with the key for
// which the phone signed up, for this push service alone, for less than a day.
func TestTheSenderProvesWhoItIs(t *testing.T) {
	for _, subject := range []string{subject, "https://alder-yard.example/bath"} {
		s := newService(t)
		o, err := Open(t.TempDir(), subject, AllowLoopback())
		if err != nil {
			t.Fatal(err)
		}
		signUp(t, o, s, "/w/abc", "")
		if _, err := o.Channel("page", "Robin").Send(t.Context(), raised()); err != nil {
			t.Fatal(err)
		}
		m := <-s.got
		parts := regexp.MustCompile(`^vapid t=([\w-]+)\.([\w-]+)\.([\w-]+), k=([\w-]+)$`).FindStringSubmatch(m.header.Get("Authorization"))
		if parts == nil {
			t.Fatalf("Authorization is %q", m.header.Get("Authorization"))
		}
		if parts[4] != o.Key() {
			t.Errorf("it is signed for key %s, phones signed up for %s", parts[4], o.Key())
		}
		public, err := ecdsa.ParseUncompressedPublicKey(elliptic.P256(), octets(t, parts[4]))
		if err != nil {
			t.Fatal(err)
		}
		sum, signed := sha256.Sum256([]byte(parts[1]+"."+parts[2])), octets(t, parts[3])
		if len(signed) != 64 || !ecdsa.Verify(public, sum[:], new(big.Int).SetBytes(signed[:32]), new(big.Int).SetBytes(signed[32:])) {
			t.Error("the signature does not hold") // RFC 7518, 3.4: r and s, 32 octets each
		}
		var head struct{ Alg string }
		var claims struct {
			Aud, Sub string
			Exp      int64
		}
		if err := errors.Join(json.Unmarshal(octets(t, parts[1]), &head), json.Unmarshal(octets(t, parts[2]), &claims)); err != nil {
			t.Fatal(err)
		}
		if left := time.Until(time.Unix(claims.Exp, 0)); left <= 0 || left > 24*time.Hour {
			t.Errorf("the token holds for %s, RFC 8292 allows a day", left)
		}
		if head.Alg != "ES256" || claims.Aud != s.URL || claims.Sub != subject {
			t.Errorf("alg %q, aud %q, sub %q; want ES256, %q, %q", head.Alg, claims.Aud, claims.Sub, s.URL, subject)
		}
	}
}

// What a push service answers decides whether another try makes sense, and when.
func TestAStatusSaysWhetherToTryAgain(t *testing.T) {
	for _, c := range []struct {
		name   string
		answer http.HandlerFunc
		final  bool
		after  time.Duration
		says   string
	}{
		{"too big", status(413), true, 0, "413"},
		{"malformed", status(400), true, 0, "400"},
		{"another key", status(403), true, 0, "open the page on this phone"},
		{"too many", status(429, "Retry-After", "120"), false, 2 * time.Minute, "429"},
		{"too many, silent", status(429), false, 0, "429"},
		{"broken", status(500), false, 0, "500"},
		{"overloaded", status(503, "Retry-After", "30"), false, 30 * time.Second, "503"},
		{"asks for a week", status(503, "Retry-After", "604800"), false, time.Hour, "503"},
		{"a redirect", status(307, "Location", "/elsewhere"), true, 0, "307"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, o := newService(t), openOffice(t)
			signUp(t, o, s, "/w/abc", "kitchen phone")
			s.on("/w/abc", c.answer)
			answer, err := o.Channel("page", "Robin").Send(t.Context(), raised())
			f, ok := errors.AsType[*notice.Failure](err)
			if !ok || answer != "" {
				t.Fatalf("%q, %v", answer, err)
			}
			if f.Final != c.final || f.After != c.after || !strings.Contains(f.Error(), c.says) || !strings.Contains(f.Error(), "kitchen phone") {
				t.Errorf("%+v, want final %v after %s with %q", f, c.final, c.after, c.says)
			}
			if len(o.Devices("Robin")) != 1 {
				t.Error("the phone is signed off")
			}
			if <-s.got; len(s.got) > 0 {
				t.Errorf("another request went to %s", (<-s.got).path)
			}
		})
	}
}

// A phone whose subscription has ended is signed off, on disk too, and the
// answer tells it; a later notice has nobody left to go to.
func TestAPhoneThatIsGoneIsSignedOff(t *testing.T) {
	for _, code := range []int{404, 410} {
		s, o := newService(t), openOffice(t)
		signUp(t, o, s, "/w/old", "old phone")
		signUp(t, o, s, "/w/new", "new phone")
		s.on("/w/old", status(code))
		answer, err := o.Channel("page", "Robin").Send(t.Context(), raised())
		if err != nil || answer != "1 of 2 devices took it; old phone is gone and signed off" {
			t.Errorf("%q, %v", answer, err)
		}
		s.on("/w/new", status(code))
		_, err = o.Channel("page", "Robin").Send(t.Context(), raised())
		f, ok := errors.AsType[*notice.Failure](err)
		if !ok || !f.Final || !strings.Contains(f.Error(), "no phone is signed up for Robin") {
			t.Errorf("%+v", err)
		}
		kept, err := readDevices(o.file, true)
		if err != nil || len(kept) != 0 {
			t.Errorf("%d phones are still on disk: %v", len(kept), err)
		}
	}
}

// One phone of three is enough; what befell the others is told.
func TestOnePhoneIsEnough(t *testing.T) {
	s, o := newService(t), openOffice(t)
	signUp(t, o, s, "/w/a", "kitchen phone")
	signUp(t, o, s, "/w/b", "tablet")
	signUp(t, o, s, "/w/c", "watch")
	s.on("/w/b", status(500))
	answer, err := o.Channel("page", "").Send(t.Context(), raised())
	if err != nil || answer != "2 of 3 devices took it; tablet: the push service says 500 internal server error" {
		t.Errorf("%q, %v", answer, err)
	}
	paths := []string{(<-s.got).path, (<-s.got).path, (<-s.got).path}
	if slices.Sort(paths); !slices.Equal(paths, []string{"/w/a", "/w/b", "/w/c"}) {
		t.Errorf("it went to %v", paths)
	}
}

// If any phone may take it later, there is another try, at the soonest time
// that one of them asked for.
func TestTheSoonestNextTryCounts(t *testing.T) {
	s, o := newService(t), openOffice(t)
	for path, answer := range map[string]http.HandlerFunc{
		"/w/a": status(413), "/w/b": status(429, "Retry-After", "300"), "/w/c": status(503, "Retry-After", "60"),
	} {
		signUp(t, o, s, path, path)
		s.on(path, answer)
	}
	_, err := o.Channel("page", "Robin").Send(t.Context(), raised())
	if f, ok := errors.AsType[*notice.Failure](err); !ok || f.Final || f.After != time.Minute {
		t.Errorf("%+v, want another try after a minute", err)
	}
}

// A contact without a phone is told how to get one, and no try is repeated.
func TestNobodyIsSignedUp(t *testing.T) {
	o := openOffice(t)
	_, err := o.Channel("page", "Sorrel").Send(t.Context(), raised())
	f, ok := errors.AsType[*notice.Failure](err)
	if !ok || !f.Final || !strings.HasPrefix(f.Error(), "no phone is signed up for Sorrel: open the page on the phone") {
		t.Errorf("%+v", err)
	}
}

// A phone never hears what is meant for another contact.
func TestEachContactHasOwnPhones(t *testing.T) {
	s, o := newService(t), openOffice(t)
	signUp(t, o, s, "/w/robin", "")
	if err := o.SignUp("Sorrel", "", newPhone(t, s.URL+"/w/sorrel").subscription()); err != nil {
		t.Fatal(err)
	}
	for _, c := range []notice.Channel{o.Channel("sorrels", "Sorrel"), o.Channel("page", "")} {
		n := raised()
		n.Contact = "Sorrel"
		if answer, err := c.Send(t.Context(), n); err != nil || answer != "1 of 1 devices took it" {
			t.Errorf("%s: %q, %v", c.Name(), answer, err)
		}
		if m := <-s.got; m.path != "/w/sorrel" {
			t.Errorf("it went to %s", m.path)
		}
	}
}

// A push service that hangs ends with the context.
func TestAHangEndsWithTheContext(t *testing.T) {
	s, o := newService(t), openOffice(t)
	signUp(t, o, s, "/w/abc", "kitchen phone")
	s.on("/w/abc", func(_ http.ResponseWriter, r *http.Request) { <-r.Context().Done() })
	ctx, cancel := context.WithCancel(t.Context())
	go func() {
		<-s.got
		cancel()
	}()
	_, err := o.Channel("page", "Robin").Send(ctx, raised())
	f, ok := errors.AsType[*notice.Failure](err)
	if !ok || f.Final || !strings.Contains(f.Error(), "given up before") {
		t.Errorf("%+v", err)
	}
}

// transport answers without a network.
type transport func(*http.Request) (*http.Response, error)

func (f transport) RoundTrip(r *http.Request) (*http.Response, error) { return f(r) }

// A push service that hangs is given ten seconds, and holds up no other phone.
func TestAHangIsBounded(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		o := openOffice(t)
		for _, path := range []string{"/hangs", "/takes"} {
			if err := o.SignUp("Robin", path, newPhone(t, "https://push.example"+path).subscription()); err != nil {
				t.Fatal(err)
			}
		}
		began := time.Now()
		var took time.Duration
		o.client.Transport = transport(func(r *http.Request) (*http.Response, error) {
			if r.URL.Path == "/hangs" {
				<-r.Context().Done()
				return nil, r.Context().Err()
			}
			took = time.Since(began)
			answer := httptest.NewRecorder()
			answer.WriteHeader(http.StatusCreated)
			return answer.Result(), nil
		})
		answer, err := o.Channel("page", "Robin").Send(t.Context(), raised())
		if err != nil || answer != "1 of 2 devices took it; /hangs: the push service did not answer in time" {
			t.Errorf("%q, %v", answer, err)
		}
		if took != 0 || time.Since(began) != 10*time.Second {
			t.Errorf("one phone after %s, all after %s; want 0 and 10 s", took, time.Since(began))
		}
	})
}
