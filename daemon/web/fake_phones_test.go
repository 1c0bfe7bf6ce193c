package web

import (
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"
)

// goodToken is the one link that the fake Phones sent.
const goodToken = "kiln-goose-41"

// fakePhones is a room that calls Robin and Sorrel.
type fakePhones struct {
	mu       sync.Mutex
	ready    bool
	why      string
	proofs   []Proof
	calls    []Call
	key      string
	used     bool
	refuse   error
	asked    chan string
	contacts []string
}

func newFakePhones() *fakePhones {
	good := time.Date(2026, 2, 27, 18, 5, 0, 0, time.UTC)
	return &fakePhones{
		ready: true, why: "push to Robin was proven on 27 February",
		proofs: []Proof{
			{Channel: "push", Contact: "Robin", Kind: "push", LastTried: good, LastGood: good, Answer: "201 Created"},
			{Channel: "post", Contact: "Sorrel", Kind: "mail", LastTried: good, Answer: "no such mailbox"},
		},
		calls: []Call{{
			Bath: "north", Alarm: "dish-bare", Priority: "high", Since: good.Add(time.Hour),
			Told: []Told{
				{Contact: "Robin", Channel: "push", At: good.Add(time.Hour), Answer: "201 Created"},
				{Contact: "Sorrel", Channel: "post", At: good.Add(62 * time.Minute), Failed: true, Answer: "no such mailbox"},
			},
		}},
		key: "BP4z9KsN6nGRTbVYI", asked: make(chan string, 10), contacts: []string{"Robin", "Sorrel"},
	}
}

func (p *fakePhones) did(format string, args ...any) error {
	p.asked <- fmt.Sprintf(format, args...)
	return p.refuse
}

func (p *fakePhones) Ready() (bool, string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.ready, p.why
}

func (p *fakePhones) Proofs() []Proof { return p.proofs }
func (p *fakePhones) Calls() []Call   { return p.calls }

func (p *fakePhones) TestAlarm(_ context.Context, who string) ([]Proof, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.refuse == nil {
		p.ready, p.why = true, "push to Robin was proven just now"
	}
	return p.proofs, p.did("test%s", by(who))
}

func (p *fakePhones) LookUp(_ context.Context, token string) (Question, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch {
	case token == "broken":
		return Question{}, errBroken
	case token != goodToken:
		return Question{}, fmt.Errorf("look up: %w", ErrNoSuchLink)
	case p.used:
		return Question{}, fmt.Errorf("look up: %w", ErrLinkOver)
	}
	return Question{
		Bath: "north", Alarm: "dish-bare", Priority: "high", Since: time.Date(2026, 3, 1, 10, 29, 0, 0, time.UTC),
		Text: "The water is below the dish base.", Advice: "Add hot water until it covers the base.", Contact: "Robin",
	}, nil
}

func (p *fakePhones) Answer(ctx context.Context, token, who string) (Answered, error) {
	if _, err := p.LookUp(ctx, token); err != nil {
		return Answered{}, err
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.used = true
	return Answered{Bath: "north", Alarm: "dish-bare", Text: "Acknowledged. Nobody else is called."}, p.did("answer %s by %q", token, who)
}

func (p *fakePhones) Contacts() []string { return p.contacts }
func (p *fakePhones) PushKey() string    { return p.key }

func (p *fakePhones) SignUp(_ context.Context, contact, device string, subscription []byte, who string) error {
	return p.did("sign up %s %q %s%s", contact, device, subscription, by(who))
}

func (p *fakePhones) SignOff(_ context.Context, endpoint, who string) error {
	return p.did("sign off %s%s", endpoint, by(who))
}

func (p *fakePhones) Renew(_ context.Context, endpoint string, subscription []byte, who string) error {
	return p.did("renew %s %s%s", endpoint, subscription, by(who))
}

// by ends what was asked for by somebody with a name.
func by(who string) string {
	if who == "" {
		return ""
	}
	return " by " + who
}

// nextCall returns what the Phones were asked for, or fails.
func nextCall(t *testing.T, p *fakePhones) string {
	t.Helper()
	select {
	case got := <-p.asked:
		return got
	case <-time.After(15 * time.Second):
		t.Fatal("the Phones were asked for nothing")
		return ""
	}
}

// logged is a log that a test reads.
type logged struct {
	mu   sync.Mutex
	text strings.Builder
}

func (l *logged) Write(b []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.Write(b)
}

func (l *logged) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.String()
}

func withPhones(t *testing.T, p Phones, log *logged) http.Handler {
	t.Helper()
	if log == nil {
		log = new(logged)
	}
	h, err := New(Options{
		View: newFakeView(holding("north")), Doer: newFakeDoer(), Phones: p,
		Logger: slog.New(slog.NewTextHandler(log, &slog.HandlerOptions{Level: slog.LevelDebug})),
	})
	if err != nil {
		t.Fatal(err)
	}
	return h
}
