package web

import (
	"context"
	"net/http"
	"strings"
	"time"

	"bainward/daemon/people"
)

// Doorway is how people come in, and by which names the pages are asked for.
type Doorway struct {
	// People says who is in. nil: whoever reaches the pages may do everything, so
	// they must not be served beyond this machine.
	People *people.Door
	// Hosts are the names by which the pages are asked for, beside IP addresses and
	// localhost; nil: any name.
	Hosts []string
	// Public is where something on this machine passes the pages on, such as
	// "https://alder-yard.example"; may be empty.
	Public string
	// Lasting says that browsers may insist on the certificate from now on: it was
	// given, and will be renewed, by somebody whom they believe.
	Lasting bool
	// MetricsToken is what a Prometheus shows instead of signing in; nil: nothing.
	MetricsToken func() (string, error)
}

// visitor is who asks, as far as we know.
type visitor struct {
	name  string // as it goes into the record
	role  people.Role
	token string // of the session; empty on the command line
}

type visitorKey struct{}

// Who is the name under which the request of ctx goes into the record; empty if
// nobody signs in here.
func Who(ctx context.Context) string {
	v, _ := ctx.Value(visitorKey{}).(visitor)
	return v.name
}

// keepDoor lets through what rights says its visitor may ask for.
func (s *server) keepDoor(mux *http.ServeMux) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !s.door.knows(r.Host) {
			s.wrongHost(w, r)
			return
		}
		if s.door.Lasting && r.TLS != nil {
			w.Header().Set("Strict-Transport-Security", "max-age=15768000") // half a year, RFC 6797
		}
		if s.door.People == nil {
			mux.ServeHTTP(w, r)
			return
		}
		_, pattern := mux.Handler(r)
		need := rights[pattern] // of what nobody thought of: people.Keep
		v, in := s.door.visitorOf(r)
		switch {
		case in && v.role.May(need), need == people.Anybody, pattern == "GET /metrics" && s.mayScrape(r):
		case in:
			s.forbid(w, r, v, need)
			return
		default:
			s.sendToDoor(w, r)
			return
		}
		ctx, cancel := context.WithCancel(context.WithValue(r.Context(), visitorKey{}, v))
		defer cancel()
		if pattern == "GET /live" && v.token != "" {
			go s.whileIn(ctx, cancel, v.token)
		}
		mux.ServeHTTP(w, r.WithContext(ctx))
	})
}

// visitorOf finds out who asks: a browser by its cookie, a command of this machine
// by its token.
func (d *Doorway) visitorOf(r *http.Request) (visitor, bool) {
	if token, ok := bearer(r); ok {
		if !here(r) || !d.People.CommandLine(token) {
			return visitor{}, false
		}
		return visitor{name: people.OnCommandLine(r.Header.Get("Bainward-User")), role: people.Keeper}, true
	}
	token := d.tokenOf(r)
	if token == "" {
		return visitor{}, false
	}
	p, in := d.People.Who(token)
	return visitor{name: p.Name, role: p.Role, token: token}, in
}

func bearer(r *http.Request) (token string, ok bool) {
	return strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
}

// lookAgain is how soon an open stream ends after its session did.
const lookAgain = 10 * time.Second

// whileIn ends an open stream with its session. A page that is open is a use of it.
func (s *server) whileIn(ctx context.Context, cancel context.CancelFunc, token string) {
	tick := time.NewTicker(lookAgain)
	defer tick.Stop()
	for {
		select {
		case <-tick.C:
			if _, in := s.door.People.Who(token); !in {
				cancel()
				return
			}
		case <-ctx.Done():
			return
		}
	}
}

// forbid says who may do what was asked.
func (s *server) forbid(w http.ResponseWriter, r *http.Request, v visitor, need people.Right) {
	var may []string
	for role := people.Viewer; role <= people.Keeper; role++ {
		if role.May(need) {
			may = append(may, "a "+role.String())
		}
	}
	text := strings.Replace(v.name+" is here as "+v.role.String()+" and may not "+need.String()+"; "+strings.Join(may, " or ")+" may",
		"a auditor", "an auditor", 1)
	s.log.Warn("refused", "path", r.URL.Path, "who", v.name, "role", v.role.String())
	if !opensPages(r) {
		writeError(w, http.StatusForbidden, text)
		return
	}
	s.refusePage(w, r, http.StatusForbidden, "Not yours to do", text+".")
}

// sendToDoor answers somebody who is not in: a person comes back here afterwards, a
// program is told.
func (s *server) sendToDoor(w http.ResponseWriter, r *http.Request) {
	if opensPages(r) {
		w.Header().Set("Location", doorFor(r.URL.RequestURI()))
		w.WriteHeader(http.StatusSeeOther)
		return
	}
	w.Header().Set("WWW-Authenticate", `Bearer realm="bainward"`)
	writeError(w, http.StatusUnauthorized, "nobody is signed in here, or no more: open /door and sign in")
}

// opensPages tells a browser that goes to a page from a script or a program.
func opensPages(r *http.Request) bool {
	return (r.Method == http.MethodGet || r.Method == http.MethodHead) && !wantsJSON(r) &&
		strings.Contains(r.Header.Get("Accept"), "text/html")
}
