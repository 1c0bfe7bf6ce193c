package web

import (
	"crypto/tls"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/crypto/bcrypt"

	"bainward/daemon/people"
)

// underTLS stands for a connection that is private.
var underTLS = &tls.ConnectionState{}

const doorWords = "kettle heron gravel seven"

// doorHouse is a site with a person of each role, each signed in.
type doorHouse struct {
	door   *people.Door
	token  map[people.Role]string
	server *server // for the gate alone
	doer   *fakeDoer
	dir    string

	mu   sync.Mutex
	said []people.Access
}

var household = map[people.Role]string{people.Viewer: "Ash", people.Maker: "Sorrel", people.Auditor: "Rowan", people.Keeper: "Robin"}

func newDoorHouse(t *testing.T) *doorHouse {
	t.Helper()
	h := &doorHouse{token: map[people.Role]string{}, doer: newFakeDoer(), dir: t.TempDir()}
	book := people.OpenBook("", h.dir).ForTests(bcrypt.MinCost)
	var all []people.Person
	for role, name := range household {
		all = append(all, people.Person{Name: name, Role: role})
		if err := book.SetPassword(name, doorWords, time.Now()); err != nil {
			t.Fatal(err)
		}
	}
	var err error
	h.door, err = people.Open(people.Options{People: all, Dir: h.dir, Cost: bcrypt.MinCost, Said: func(a people.Access) {
		h.mu.Lock()
		defer h.mu.Unlock()
		h.said = append(h.said, a)
	}})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := h.door.Close(); err != nil {
			t.Error(err)
		}
	})
	for role, name := range household {
		h.token[role] = h.signIn(t, name)
	}
	h.server = &server{door: Doorway{People: h.door}, log: slog.New(slog.DiscardHandler)}
	return h
}

func (h *doorHouse) signIn(t *testing.T, name string) string {
	t.Helper()
	token, _, err := h.door.SignIn(t.Context(), people.Try{Name: name, Password: doorWords, Address: "198.51.100.1", From: "network"})
	if err != nil {
		t.Fatal(err)
	}
	return token
}

// handler serves all pages of one bath to the household.
func (h *doorHouse) handler(t *testing.T, change ...func(*Options)) http.Handler {
	t.Helper()
	o := Options{
		View: newFakeView(holding("north")), Doer: h.doer, Logger: slog.New(slog.DiscardHandler), Phones: newFakePhones(),
		Metrics: http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { _, _ = w.Write([]byte("bainward_up 1\n")) }),
		Doorway: Doorway{People: h.door, Hosts: []string{"alder-yard.example"}},
	}
	for _, c := range change {
		c(&o)
	}
	all, err := New(o)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// request is one of a browser elsewhere, under TLS.
func request(method, path, body string) *http.Request {
	r := httptest.NewRequest(method, "https://192.0.2.1"+path, strings.NewReader(body))
	r.RemoteAddr = "192.0.2.7:4711"
	r.TLS = underTLS
	r.Header.Set("Accept", "text/html,application/xhtml+xml")
	return r
}

func (h *doorHouse) as(role people.Role, r *http.Request) *http.Request {
	r.AddCookie(&http.Cookie{Name: safeCookie, Value: h.token[role]})
	return r
}

// form sends what the form of the door sends.
func form(path string, fields ...string) *http.Request {
	v := url.Values{}
	for i := 0; i < len(fields); i += 2 {
		v.Set(fields[i], fields[i+1])
	}
	r := request(http.MethodPost, path, v.Encode())
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return r
}

func served(h http.Handler, r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}
