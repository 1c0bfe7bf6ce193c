package web

import (
	"encoding/json"
	"io/fs"
	"net/http"
	"strings"
)

// pushKey tells browsers whose messages they agree to, as plain text.
func (s *server) pushKey(w http.ResponseWriter, r *http.Request) {
	key := s.phones.PushKey()
	if key == "" {
		writeError(w, http.StatusNotFound, "no phone can be signed up here: the site file names no push channel")
		return
	}
	s.send(w, http.StatusOK, "text/plain; charset=utf-8", []byte(key+"\n"))
}

type signUpRequest struct {
	Contact      string          `json:"contact"`
	Device       string          `json:"device"`
	Subscription json.RawMessage `json:"subscription"`
	Who          string          `json:"who"` // whose browser it is, where people sign in
}

func (s *server) signUp(w http.ResponseWriter, r *http.Request) {
	var in signUpRequest
	if !readJSON(w, r, &in) || !plain(w, "contact", in.Contact, maxWho) || !plain(w, "device", in.Device, maxWho) || !plain(w, "who", in.Who, maxWho) {
		return
	}
	if strings.TrimSpace(in.Contact) == "" || !isObject(in.Subscription) {
		writeError(w, http.StatusBadRequest, "to sign a phone up, give the contact whose it is and its push subscription")
		return
	}
	err := s.phones.SignUp(r.Context(), strings.TrimSpace(in.Contact), strings.TrimSpace(in.Device), in.Subscription, strings.TrimSpace(in.Who))
	s.finish(w, r, "signed up for "+in.Contact, err)
}

func (s *server) signOff(w http.ResponseWriter, r *http.Request) {
	var in struct {
		Endpoint string `json:"endpoint"`
		Who      string `json:"who"`
	}
	if !readJSON(w, r, &in) || !plain(w, "who", in.Who, maxWho) {
		return
	}
	if in.Endpoint == "" {
		writeError(w, http.StatusBadRequest, "to sign a phone off, give the endpoint of its push subscription")
		return
	}
	s.finish(w, r, "signed off", s.phones.SignOff(r.Context(), in.Endpoint, strings.TrimSpace(in.Who)))
}

// renew takes a subscription that a browser changed by itself.
func (s *server) renew(w http.ResponseWriter, r *http.Request) {
	var in struct {
		Replaces     string          `json:"replaces"`
		Subscription json.RawMessage `json:"subscription"`
		Who          string          `json:"who"`
	}
	if !readJSON(w, r, &in) || !plain(w, "who", in.Who, maxWho) {
		return
	}
	if in.Replaces == "" || !isObject(in.Subscription) {
		writeError(w, http.StatusBadRequest, "to renew a subscription, give the endpoint that it replaces and the new one")
		return
	}
	s.finish(w, r, "renewed", s.phones.Renew(r.Context(), in.Replaces, in.Subscription, strings.TrimSpace(in.Who)))
}

// isObject reports whether raw, which is valid JSON or empty, is an object.
func isObject(raw json.RawMessage) bool { return len(raw) > 0 && raw[0] == '{' }

// fromRoot serves a static file outside /static/: a service worker rules only
// the addresses below its own (W3C Service Workers, "scope").
func (s *server) fromRoot(static fs.FS, name, kind string) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		body, err := fs.ReadFile(static, name)
		if err != nil {
			s.nothingHere(w, r)
			return
		}
		w.Header().Set("Cache-Control", "no-cache")
		s.send(w, http.StatusOK, kind, body)
	}
}
