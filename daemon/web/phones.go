package web

import (
	"bytes"
	"context"
	"errors"
	"net/http"
	"strings"
	"time"

	"bainward/dashboards"
)

// Phones is the room that calls people, as far as pages show and ask it. Where
// there is none the pages say nothing of it. Its methods may be called from
// several goroutines at once. An error is shown to the person as it is, so it
// holds no secret.
type Phones interface {
	// Ready reports whether alarms were proven to reach a person lately, and says
	// why in a clause without capital or full stop: "no alarm channel has been
	// proven in the last 7 days".
	Ready() (ok bool, why string)
	// Proofs lists every way to every person and when it last worked.
	Proofs() []Proof
	// Calls lists the open calls, newest first.
	Calls() []Call
	// TestAlarm sends a proof through every channel and waits for what the far
	// ends say.
	TestAlarm(ctx context.Context, who string) ([]Proof, error)

	// LookUp says what a link asks, and changes nothing: programs that preview
	// links call it. The error is ErrNoSuchLink or ErrLinkOver.
	LookUp(ctx context.Context, token string) (Question, error)
	// Answer acknowledges the alarm of a link. who may be empty: then the link
	// tells whom it was sent to. The error is ErrNoSuchLink or ErrLinkOver.
	Answer(ctx context.Context, token, who string) (Answered, error)

	// Contacts may sign up phones for push messages; none if there is no push.
	Contacts() []string
	// PushKey is the public key of our push messages (RFC 8292, base64url); empty
	// if there is no push.
	PushKey() string
	// SignUp takes a phone's push subscription, JSON as browsers give it.
	SignUp(ctx context.Context, contact, device string, subscription []byte, who string) error
	// SignOff forgets the subscription of an endpoint; one that is not known is
	// no error.
	SignOff(ctx context.Context, endpoint, who string) error
	// Renew puts a newer subscription in the place of an endpoint's.
	Renew(ctx context.Context, endpoint string, subscription []byte, who string) error
}

// What Phones lists, as the pages show it.
type (
	Proof    = dashboards.Proof
	Call     = dashboards.Call
	Told     = dashboards.Told
	Question = dashboards.Question
	Answered = dashboards.Answered
)

// The links that ask nothing.
var (
	ErrNoSuchLink = errors.New("no such link")
	ErrLinkOver   = errors.New("the link was used, or is too old")
)

// testWait bounds a test of the alarms: mail servers are slow.
const testWait = 60 * time.Second

// phonesNow gathers what pages show of the calls; nil if nobody is called.
func (s *server) phonesNow() *dashboards.Phones {
	if s.phones == nil {
		return nil
	}
	p := &dashboards.Phones{Proofs: s.phones.Proofs(), Calls: s.phones.Calls()}
	p.Ready, p.Why = s.phones.Ready()
	for _, b := range s.view.Snapshots() {
		p.Lit = p.Lit || b.Phase.Lit()
	}
	if s.phones.PushKey() != "" {
		p.Contacts = s.phones.Contacts()
	}
	return p
}

// phonesPart is that part of a page alone, for a page that is open already.
func (s *server) phonesPart(w http.ResponseWriter, r *http.Request) {
	s.render(w, r, func(out *bytes.Buffer) error { return s.pages.RenderPhones(out, s.phonesNow()) })
}

func (s *server) apiPhones(w http.ResponseWriter, _ *http.Request) {
	p := s.phonesNow()
	if p.Proofs == nil {
		p.Proofs = []Proof{}
	}
	if p.Calls == nil {
		p.Calls = []Call{}
	}
	if p.Contacts == nil {
		p.Contacts = []string{}
	}
	s.sendJSON(w, p)
}

// testAlarms proves every channel, at a person's wish.
func (s *server) testAlarms(w http.ResponseWriter, r *http.Request) {
	var in struct {
		Who string `json:"who"`
	}
	if !readJSON(w, r, &in) || !plain(w, "who", in.Who, maxWho) {
		return
	}
	ctx, cancel := context.WithTimeout(r.Context(), testWait)
	defer cancel()
	proofs, err := s.phones.TestAlarm(ctx, strings.TrimSpace(in.Who))
	if err != nil {
		s.log.Warn("test of the alarms", "err", err)
		writeError(w, http.StatusConflict, err.Error())
		return
	}
	if proofs == nil {
		proofs = []Proof{}
	}
	s.sendJSON(w, map[string]any{"done": provenWords(proofs), "proofs": proofs})
}

// provenWords sums up a test for the person who asked for it.
func provenWords(proofs []Proof) string {
	failed := 0
	for _, p := range proofs {
		if p.Failed() {
			failed++
		}
	}
	switch {
	case len(proofs) == 0:
		return "no way to call anybody is named in the site file"
	case failed == len(proofs):
		return "no message went out: nobody would be called"
	case failed > 0:
		return "some messages did not go out; see which below"
	}
	return "sent through every channel; see that each message arrived"
}
