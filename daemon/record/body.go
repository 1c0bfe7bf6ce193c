package record

import (
	"errors"
	"fmt"
	"time"
	"unicode/utf8"

	"bainward/rules"
)

// newBody returns an empty body of the kind, or nil for a reading and for a
// word that is no kind.
func newBody(k Kind) Body {
	for _, b := range []Body{
		&Event{}, &Finding{}, &Alarm{}, &Command{}, &Phase{}, &Batch{},
		&Config{}, &Restart{}, &Clock{}, &Correction{}, &Cutout{}, &Stop{},
		&Call{}, &Notice{}, &Attempt{},
		&Material{}, &Weighing{}, &Bottles{}, &Moved{}, &Given{}, &Smelled{}, &Deviation{}, &Checklist{},
		&Signature{}, &Witness{}, &Cosignature{},
		&Key{}, &Checkpoint{}, &Thinned{}, &Access{}, &Calibration{}, &Boil{}, &Person{}, &Phone{}, &Calibrating{}, &Storage{}, &Recipe{}, &Site{},
	} {
		if b.Kind() == k {
			return b
		}
	}
	return nil
}

// Event is something the maker did. Make it with EventOf.
type Event struct {
	Text  string `json:"text"`            // as rules.Event writes it, such as "top-up 500 ml"
	By    string `json:"by,omitempty"`    // who said so
	Batch string `json:"batch,omitempty"` // number of the batch it belongs to
}

// EventOf returns the body that holds e.
func EventOf(e rules.Event, by, batch string) Event {
	return Event{Text: e.String(), By: by, Batch: batch}
}

// Kind returns KindEvent.
func (Event) Kind() Kind { return KindEvent }

// Event returns what the rules were told.
func (b Event) Event() (rules.Event, error) { return rules.ParseEvent(b.Text) }

func (b Event) check() error {
	e, err := b.Event()
	if err != nil {
		return err
	}
	if e.String() != b.Text || !utf8.ValidString(b.Text) {
		return fmt.Errorf("event %q would be read back as %q", b.Text, e)
	}
	return nil
}

// Phase is a batch moving on.
type Phase struct {
	Phase string `json:"phase"`          // a word of rules.Phase
	Pass  int    `json:"pass,omitempty"` // which maceration, from 1
}

// PhaseOf returns the body that says a batch came into p, in maceration pass.
func PhaseOf(p rules.Phase, pass int) Phase { return Phase{Phase: p.String(), Pass: pass} }

// Kind returns KindPhase.
func (Phase) Kind() Kind { return KindPhase }

// In returns the phase.
func (b Phase) In() (rules.Phase, error) {
	return parseWord[rules.Phase]("phase", b.Phase, "unknown-phase")
}

func (b Phase) check() error {
	_, err := b.In()
	return err
}

// The states of a batch in the record.
const (
	Opened = "opened"
	Closed = "closed"
)

// Batch is a batch being opened or closed.
type Batch struct {
	State   string `json:"state"` // Opened or Closed
	Number  string `json:"number"`
	Recipe  string `json:"recipe,omitempty"`  // its name; what it asks for is in the config entry
	Verdict string `json:"verdict,omitempty"` // of a closed batch: a word of rules.Verdict
}

// Kind returns KindBatch.
func (Batch) Kind() Kind { return KindBatch }

func (b Batch) check() error {
	switch {
	case b.State != Opened && b.State != Closed:
		return fmt.Errorf("batch state %q: want %q or %q", b.State, Opened, Closed)
	case b.Number == "":
		return errors.New("the batch has no number")
	}
	return nil
}

// Config is what the rules of a bath go by from this entry on.
type Config struct {
	rules.Config
	// By is who chose the recipe, of an entry by which one was chosen; empty where the
	// daemon changed something else, and in records of before this was noted.
	By string `json:"by,omitempty"`
}

// Kind returns KindConfig.
func (Config) Kind() Kind { return KindConfig }

func (Config) check() error { return nil }

// Restart is the daemon coming up; the first entry of a record is one too.
type Restart struct {
	Boot     string        `json:"boot"`        // the kernel's id of this boot of the machine
	GapKnown bool          `json:"gap_known"`   // the offsets before and after stand on one clock
	Downtime time.Duration `json:"downtime_ns"` // as well as it is known
	Uptime   time.Duration `json:"uptime_ns"`   // of the machine at this entry; puts offsets of one boot on one clock
	Version  string        `json:"version"`     // of the program
}

// Kind returns KindRestart.
func (Restart) Kind() Kind { return KindRestart }

func (Restart) check() error { return nil }

// Clock is the wall clock being set while the daemon ran.
type Clock struct {
	Step time.Duration `json:"step_ns"` // forward is positive
}

// Kind returns KindClock.
func (Clock) Kind() Kind { return KindClock }

func (Clock) check() error { return nil }

// Correction says that an earlier entry is void. The entry itself stays.
type Correction struct {
	Voids  int64  `json:"voids"` // the number of the entry
	Reason string `json:"reason"`
	By     string `json:"by"`
}

// Kind returns KindCorrection.
func (Correction) Kind() Kind { return KindCorrection }

func (b Correction) check() error {
	switch {
	case b.Voids < 1:
		return fmt.Errorf("the correction voids entry %d: entries count from 1", b.Voids)
	case b.Reason == "":
		return errors.New("the correction gives no reason")
	}
	return nil
}

// Stop is the daemon ending in good order.
type Stop struct {
	Reason string `json:"reason,omitempty"`
}

// Kind returns KindStop.
func (Stop) Kind() Kind { return KindStop }

func (Stop) check() error { return nil }
