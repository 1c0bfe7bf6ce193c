package dashboards

import "time"

// Phones is what a page shows of the calls to people. Whether the site is ready
// is decided elsewhere; Why says it in a clause that follows "Ready: " or
// "Not ready: ".
type Phones struct {
	Ready  bool    `json:"ready"`
	Why    string  `json:"why"`
	Proofs []Proof `json:"proofs"`
	Calls  []Call  `json:"calls"`
	// Contacts may sign up a phone for push messages; none: nobody can.
	Contacts []string `json:"contacts"`
	// Lit: a bath is on the heat, so the page says in one line what else it says
	// in full.
	Lit bool `json:"-"`
}

// Calm reports whether the page may tell of calls further down: a bath is on the
// heat, and somebody is reached. Before lighting, and where nobody would hear an
// alarm, that comes first.
func (p *Phones) Calm() bool { return p.Lit && p.Ready }

// Proof says when one way to one person last worked.
type Proof struct {
	Channel   string    `json:"channel"`
	Contact   string    `json:"contact"`
	Kind      string    `json:"kind"`
	LastTried time.Time `json:"last_tried,omitzero"` // zero: never
	LastGood  time.Time `json:"last_good,omitzero"`  // zero: never
	Answer    string    `json:"answer"`              // of the far end, at the last try
}

// Failed reports whether the last try did not work.
func (p Proof) Failed() bool { return p.LastTried.After(p.LastGood) }

// Call is an alarm that calls people.
type Call struct {
	Bath     string    `json:"bath"`
	Alarm    string    `json:"alarm"`
	Priority string    `json:"priority"`
	Since    time.Time `json:"since"`
	Told     []Told    `json:"told"`
	By       string    `json:"by"`   // who answered it; empty: nobody
	Over     string    `json:"over"` // how it ended though nobody answered; empty: it did not
}

// Told is one message of a call.
type Told struct {
	Contact string    `json:"contact"`
	Channel string    `json:"channel"`
	At      time.Time `json:"at"`
	Failed  bool      `json:"failed"` // it did not go out
	Answer  string    `json:"answer"` // of the far end, or why it failed
}

// Stamp is an instant for programs (RFC 3339, UTC).
func Stamp(t time.Time) string { return t.UTC().Format(time.RFC3339) }

// LinkPage is the page behind a link that somebody was sent.
type LinkPage struct {
	Assets   string
	Token    string
	Question Question
	Answered Answered
	Done     bool // Answered is shown, else Question and its button
}

// Question is what somebody who opens a link is asked to see to.
type Question struct {
	Bath     string    `json:"bath"`
	Alarm    string    `json:"alarm"`
	Priority string    `json:"priority"`
	Since    time.Time `json:"since"`
	Text     string    `json:"text"`    // what is wrong
	Advice   string    `json:"advice"`  // what to do now
	Within   string    `json:"within"`  // how long there is; may be empty
	Contact  string    `json:"contact"` // who was sent the link
}

// Answered is what came of an answer.
type Answered struct {
	Bath  string `json:"bath"`
	Alarm string `json:"alarm"`
	Text  string `json:"text"` // one or two sentences for the person
}
