package web

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"strings"
	"time"

	"bainward/daemon/people"
	"bainward/dashboards"
)

// Signer keeps signatures under batches. A Doer that is one too has them served.
type Signer interface {
	// Sign returns once the signature is in the record. That By is who they say was
	// proved before.
	Sign(ctx context.Context, number string, s dashboards.Signature) error
	Signatures(ctx context.Context, number string) ([]dashboards.Signature, error)
}

type signatureRequest struct {
	Meaning  string `json:"meaning"`
	Remark   string `json:"remark"`
	Password string `json:"password"`
	Who      string `json:"who"` // of the page's form; who is signed in counts
}

// signRoutes adds what is there only where people sign in: a signature needs
// somebody who proves to be who they are.
func (s *server) signRoutes(mux *http.ServeMux) {
	if signer, ok := s.doer.(Signer); ok && s.door.People != nil {
		mux.HandleFunc("POST /api/batch/{number}/signature", func(w http.ResponseWriter, r *http.Request) { s.sign(w, r, signer) })
	}
}

// sign takes the password again, and then the signature.
func (s *server) sign(w http.ResponseWriter, r *http.Request, signer Signer) {
	var in signatureRequest
	if !readJSON(w, r, &in) || !plain(w, "remark", in.Remark, maxText) {
		return
	}
	if !slices.ContainsFunc(dashboards.Meanings(), func(m dashboards.Meaning) bool { return m.Word == in.Meaning }) {
		writeError(w, http.StatusBadRequest, "a signature needs a meaning: reviewed, released, rejected or made")
		return
	}
	v, _ := s.door.visitorOf(r)
	if v.token == "" {
		writeError(w, http.StatusForbidden, "sign on the page: a command shows no password")
		return
	}
	address, from := addressOf(r)
	who, err := s.door.People.Prove(r.Context(), people.Try{Name: v.name, Password: in.Password, Address: address, From: from})
	if err != nil {
		s.log.Warn("not signed", "who", v.name, "err", err)
		status := http.StatusForbidden
		if _, wait := errors.AsType[*people.WaitError](err); wait {
			status = http.StatusTooManyRequests
		}
		writeError(w, status, "not signed: "+strings.Replace(err.Error(), "the name or the password", "the password", 1))
		return
	}
	err = signer.Sign(r.Context(), r.PathValue("number"), dashboards.Signature{
		By: who.Name, Role: who.Role.String(), Meaning: in.Meaning, Remark: strings.TrimSpace(in.Remark),
	})
	if err != nil {
		s.log.Warn("refused", "path", r.URL.Path, "err", err)
		writeError(w, http.StatusConflict, err.Error())
		return
	}
	s.sendJSON(w, map[string]string{"done": "signed: " + in.Meaning + ", " + who.Name + ", " + time.Now().In(s.view.Site().Clock()).Format("15:04")})
}

// signBox is where the page of a batch shows who signed it; nil: nothing of it.
func (s *server) signBox(r *http.Request, number, address string, closed bool) *dashboards.SignBox {
	signer, ok := s.doer.(Signer)
	if !ok {
		return nil
	}
	box := &dashboards.SignBox{Address: address}
	var err error
	if box.Signed, err = signer.Signatures(r.Context(), number); err != nil {
		s.log.Error("read signatures for page", "batch", number, "err", err)
		box.Trouble = "The signatures could not be read; the daemon's log says why."
	}
	switch v, in := s.doorVisitor(r); {
	case !closed:
		box.Why = "It can be signed once it is closed, an hour after it was bottled or abandoned."
	case s.door.People == nil:
		box.Why = "A signature needs somebody who proves to be who they are: name people in the site file and give them passwords."
	case !in || !v.role.May(people.Sign) || v.token == "":
		box.Why = "An auditor or a keeper may sign."
	default:
		box.Name = v.name
	}
	return box
}

// doorVisitor is who asks; nobody where nobody signs in.
func (s *server) doorVisitor(r *http.Request) (visitor, bool) {
	if s.door.People == nil {
		return visitor{}, false
	}
	return s.door.visitorOf(r)
}
