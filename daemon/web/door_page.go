package web

import (
	"bytes"
	"errors"
	"net/http"
	"strconv"
	"strings"
	"time"

	"bainward/daemon/people"
	"bainward/dashboards"
)

// doorRoutes adds what is there only where people sign in. Who asks at /door/me is
// told all the same that nobody does.
func (s *server) doorRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /door/me", s.whoIsIn)
	if s.door.People == nil {
		return
	}
	mux.HandleFunc("GET /door", s.showDoor)
	mux.HandleFunc("POST /door", s.comeIn)
	mux.HandleFunc("POST /door/out", s.goOut)
}

// showDoor asks who comes, or tells who is in.
func (s *server) showDoor(w http.ResponseWriter, r *http.Request) {
	s.doorPage(w, r, http.StatusOK, dashboards.DoorPage{To: safeReturn(r.URL.Query().Get("to"))})
}

func (s *server) doorPage(w http.ResponseWriter, r *http.Request, status int, p dashboards.DoorPage) {
	site := s.view.Site()
	p.Site, p.Version, p.Assets = site.Name, site.Version, s.assets
	if v, in := s.door.visitorOf(r); in {
		p.Who, p.Role = v.name, v.role.String()
	}
	p.Nobody = !s.door.People.Ready()
	var out bytes.Buffer
	if err := s.pages.RenderDoor(&out, p); err != nil {
		s.trouble(w, r, err)
		return
	}
	// Its form comes to us, and older browsers tell us from other sites only by the
	// Origin, which no-referrer would make "null".
	w.Header().Set("Content-Security-Policy", strings.Replace(policy, "form-action 'none'", "form-action 'self'", 1))
	w.Header().Set("Referrer-Policy", "same-origin")
	w.Header().Set("X-Robots-Tag", "noindex")
	s.send(w, status, "text/html; charset=utf-8", out.Bytes())
}

// maxForm bounds what the form of the door sends, bytes.
const maxForm = 4 << 10

// comeIn looks at name and password.
func (s *server) comeIn(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, maxForm)
	if err := r.ParseForm(); err != nil {
		s.doorPage(w, r, http.StatusBadRequest, dashboards.DoorPage{Says: "That could not be read: send the form of this page.", To: "/"})
		return
	}
	name, to := r.PostForm.Get("name"), safeReturn(r.PostForm.Get("to"))
	address, from := addressOf(r)
	token, who, err := s.door.People.SignIn(r.Context(), people.Try{
		Name: name, Password: r.PostForm.Get("password"), Address: address, From: from,
	})
	if err != nil {
		s.turnAway(w, r, err, dashboards.DoorPage{To: to, Name: shortName(name)})
		return
	}
	s.door.People.SignOut(s.door.tokenOf(r), from) // of whoever was in here before
	s.log.Info("signed in", "who", who.Name, "from", from)
	s.door.giveCookie(w, r, token)
	w.Header().Set("Location", to)
	w.WriteHeader(http.StatusSeeOther)
}

// shortName is what is written back into the form: nothing that nobody is called.
func shortName(name string) string {
	if len(name) > maxWho {
		return ""
	}
	return name
}

// turnAway says why somebody stays outside, and when to try again.
func (s *server) turnAway(w http.ResponseWriter, r *http.Request, err error, p dashboards.DoorPage) {
	status := http.StatusForbidden
	p.Says = sentence(err.Error())
	if wait, ok := errors.AsType[*people.WaitError](err); ok {
		status = http.StatusTooManyRequests
		w.Header().Set("Retry-After", strconv.Itoa(int((wait.In+time.Second-1)/time.Second)))
	}
	if errors.Is(err, people.ErrBusy) {
		status = http.StatusServiceUnavailable
		w.Header().Set("Retry-After", "5")
	}
	s.doorPage(w, r, status, p)
}

// sentence makes an error, which is written small and without a stop, into one.
func sentence(text string) string { return strings.ToUpper(text[:1]) + text[1:] + "." }

// goOut ends the session and leads back to the door.
func (s *server) goOut(w http.ResponseWriter, r *http.Request) {
	_, from := addressOf(r)
	s.door.People.SignOut(s.door.tokenOf(r), from)
	s.door.giveCookie(w, r, "")
	w.Header().Set("Location", "/door")
	w.WriteHeader(http.StatusSeeOther)
}

// whoIsIn tells an open page whose it is, so that it asks no name.
func (s *server) whoIsIn(w http.ResponseWriter, r *http.Request) {
	v, _ := r.Context().Value(visitorKey{}).(visitor)
	role := ""
	if v.name != "" {
		role = v.role.String()
	}
	s.sendJSON(w, map[string]any{"name": v.name, "role": role, "enters": s.door.People == nil || v.role.May(people.Enter)})
}
