package push

import (
	"crypto/ecdh"
	"crypto/rand"
	"encoding/base64"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"sync"
	"testing"
	"time"

	"bainward/daemon/phone/notice"
	"bainward/rules/alarm"
)

// subject is who sends, in the tests.
const subject = "mailto:robin@alder-yard.example"

// message is one push message as the push service got it.
type message struct {
	path   string
	header http.Header
	body   []byte
}

// service is a push service on this machine. It answers 201, as RFC 8030, 5 has
// it, unless a path was given something else to do.
type service struct {
	*httptest.Server
	got chan message // everything that came

	mu      sync.Mutex
	answers map[string]http.HandlerFunc
}

func newService(t *testing.T) *service {
	t.Helper()
	s := &service{got: make(chan message, 64), answers: make(map[string]http.HandlerFunc)}
	s.Server = httptest.NewServer(s)
	t.Cleanup(s.Close)
	return s
}

func (s *service) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	body, _ := io.ReadAll(r.Body)
	s.got <- message{path: r.URL.Path, header: r.Header, body: body}
	s.mu.Lock()
	answer := s.answers[r.URL.Path]
	s.mu.Unlock()
	if answer == nil {
		w.WriteHeader(http.StatusCreated)
		return
	}
	answer(w, r)
}

// on lets path be answered so.
func (s *service) on(path string, answer http.HandlerFunc) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.answers[path] = answer
}

func status(code int, header ...string) http.HandlerFunc {
	return func(w http.ResponseWriter, _ *http.Request) {
		for i := 0; i+1 < len(header); i += 2 {
			w.Header().Set(header[i], header[i+1])
		}
		w.WriteHeader(code)
	}
}

// phone is the far end of one subscription: what a browser keeps to itself.
type phone struct {
	own      *ecdh.PrivateKey
	auth     []byte
	endpoint string
}

func newPhone(t *testing.T, endpoint string) phone {
	t.Helper()
	own, err := ecdh.P256().GenerateKey(rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	p := phone{own: own, auth: make([]byte, 16), endpoint: endpoint}
	_, _ = rand.Read(p.auth) // it never fails
	return p
}

// subscription is the JSON that the phone's browser gives to the page.
func (p phone) subscription() []byte {
	text, _ := json.Marshal(map[string]any{ // strings alone cannot fail
		"endpoint": p.endpoint, "expirationTime": nil,
		"keys": map[string]string{
			"p256dh": base64.RawURLEncoding.EncodeToString(p.own.PublicKey().Bytes()),
			"auth":   base64.RawURLEncoding.EncodeToString(p.auth),
		},
	})
	return text
}

// read opens a message as the phone does.
func (p phone) read(t *testing.T, m message) payload {
	t.Helper()
	plain, _, err := decrypt(m.body, p.own, p.auth)
	if err != nil {
		t.Fatalf("decrypt: %v", err)
	}
	var got payload
	if err := json.Unmarshal(plain, &got); err != nil {
		t.Fatalf("%v in %s", err, plain)
	}
	return got
}

func openOffice(t *testing.T, options ...Option) *Office {
	t.Helper()
	o, err := Open(t.TempDir(), subject, append(options, AllowLoopback())...)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// signUp adds a phone of Robin whose endpoint has this path at the service.
func signUp(t *testing.T, o *Office, s *service, path, name string) phone {
	t.Helper()
	p := newPhone(t, s.URL+path)
	if err := o.SignUp("Robin", name, p.subscription()); err != nil {
		t.Fatal(err)
	}
	return p
}

// raised is an alarm that wants Robin.
func raised() notice.Notice {
	return notice.Notice{
		ID: "n7", Call: "call-12", Contact: "Robin", Channel: "page", Kind: notice.Raised, Site: "Alder Yard", Bath: "north",
		Alarm: "dish-bare", Priority: alarm.Critical, Title: "north: dish base bare",
		Text: "The water is below the dish. Top up with hot water now: 9 minutes until the pan runs dry.",
		Link: "/answer/12", Wall: time.Date(2026, 3, 1, 10, 41, 10, 0, time.UTC),
	}
}
