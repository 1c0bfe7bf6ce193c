package web

import (
	"bytes"
	"errors"
	"net/http"

	"bainward/dashboards"
)

// linkPolicy lets the page behind a link send its one form to us.
const linkPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; " +
	"manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// showLink says what a link asks. It answers nothing: programs open links to
// preview them, and only the button on the page is a person.
func (s *server) showLink(w http.ResponseWriter, r *http.Request) {
	q, err := s.phones.LookUp(r.Context(), r.PathValue("token"))
	if err != nil {
		s.refuseLink(w, r, err)
		return
	}
	s.linkPage(w, r, dashboards.LinkPage{Token: r.PathValue("token"), Question: q})
}

// answerLink acknowledges the alarm of a link, for who is signed in, or else for
// whom it was sent to.
func (s *server) answerLink(w http.ResponseWriter, r *http.Request) {
	a, err := s.phones.Answer(r.Context(), r.PathValue("token"), Who(r.Context()))
	if err != nil {
		s.refuseLink(w, r, err)
		return
	}
	s.linkPage(w, r, dashboards.LinkPage{Answered: a, Done: true})
}

func (s *server) linkPage(w http.ResponseWriter, r *http.Request, p dashboards.LinkPage) {
	p.Assets = s.assets
	var out bytes.Buffer
	if err := s.pages.RenderLink(&out, p); err != nil {
		s.refuseLink(w, r, err)
		return
	}
	w.Header().Set("Content-Security-Policy", linkPolicy)
	w.Header().Set("X-Robots-Tag", "noindex")
	s.send(w, http.StatusOK, "text/html; charset=utf-8", out.Bytes())
}

// linkTrouble is what there is to say of a link that asks nothing. It tells a
// stranger who guesses addresses neither a bath nor the name of the site.
func linkTrouble(err error) (status int, title, text string) {
	switch {
	case errors.Is(err, ErrNoSuchLink):
		return http.StatusNotFound, "This link is not known", "It is no link of ours, or not the whole of it was opened. Look at the bath."
	case errors.Is(err, ErrLinkOver):
		return http.StatusGone, "This link is over", "It was used already, or the alarm has ended. If in doubt, look at the bath."
	}
	return http.StatusConflict, "Not answered", err.Error()
}

// refuseLink says so. The address is left out of the log: who reads it there
// could answer.
func (s *server) refuseLink(w http.ResponseWriter, r *http.Request, err error) {
	status, title, text := linkTrouble(err)
	s.log.Warn("link refused", "status", status, "err", err)
	if wantsJSON(r) {
		writeError(w, status, text)
		return
	}
	var out bytes.Buffer
	t := dashboards.Trouble{Site: "bainward", Title: title, Text: text, Assets: s.assets}
	if err := s.pages.RenderTrouble(&out, t); err != nil {
		s.log.Error("render trouble", "err", err)
	}
	s.send(w, status, "text/html; charset=utf-8", out.Bytes())
}

func (s *server) apiLookUp(w http.ResponseWriter, r *http.Request) {
	q, err := s.phones.LookUp(r.Context(), r.PathValue("token"))
	if err != nil {
		s.refuseLink(w, r, err)
		return
	}
	q.Since = q.Since.UTC()
	s.sendJSON(w, q)
}

func (s *server) apiAnswer(w http.ResponseWriter, r *http.Request) {
	var in struct {
		Who string `json:"who"`
	}
	if !readJSON(w, r, &in) || !plain(w, "who", in.Who, maxWho) {
		return
	}
	a, err := s.phones.Answer(r.Context(), r.PathValue("token"), in.Who)
	if err != nil {
		s.refuseLink(w, r, err)
		return
	}
	s.sendJSON(w, a)
}
