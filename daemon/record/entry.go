package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"time"

	"bainward/rules"
	"bainward/sensors"
)

// Tick is the finest step of an instant that the record keeps.
const Tick = time.Millisecond

// Entry is one numbered line of the record.
type Entry struct {
	// Seq is the entry's number, from 1. Append gives it.
	Seq int64
	// At is the monotonic offset since the record began, in whole Ticks. It
	// never goes back from one entry to the next.
	At time.Duration
	// Wall is UTC, for people, in whole Ticks. It may jump.
	Wall time.Time
	// Bath names the bath; it is empty for what concerns the whole site.
	Bath string
	Kind Kind
	// Frame is what the probes said; of a reading only.
	Frame sensors.Frame
	// Body is a JSON object; of every kind but a reading.
	Body json.RawMessage
}

// Body is what an entry other than a reading tells: Event, Finding, Alarm and
// their like. The set is closed in this package; an older program passes over a kind
// that it does not know (READING.md).
type Body interface {
	Kind() Kind
	// check says what a body lacks to be understood again when it is read back.
	check() error
}

// OfFrame returns the reading that holds f. Append takes it only if f went
// through Rounded.
func OfFrame(bath string, f sensors.Frame) Entry {
	return Entry{At: f.At, Wall: f.Wall, Bath: bath, Kind: KindReading, Frame: f}
}

// Of returns the entry that holds b, with at and wall rounded as the record
// keeps them. It fails if b could not be read back as it is.
func Of(at time.Duration, wall time.Time, bath string, b Body) (Entry, error) {
	if err := b.check(); err != nil {
		return Entry{}, fmt.Errorf("make %s entry: %w", b.Kind(), err)
	}
	text, err := json.Marshal(b)
	if err != nil {
		return Entry{}, fmt.Errorf("make %s entry: %w", b.Kind(), err)
	}
	return Entry{At: RoundedAt(at), Wall: RoundedWall(wall), Bath: bath, Kind: b.Kind(), Body: text}, nil
}

// Decode reads the entry's body into the body type of its kind, such as
//
//	var p record.Phase
//	err := e.Decode(&p)
//
// It fails if the entry is of another kind or if the body does not make sense.
// Members that it does not know are passed over, so that a body may gain some.
func (e Entry) Decode(into Body) error {
	if e.Kind != into.Kind() {
		return fmt.Errorf("decode entry %d: it is of kind %q, not %q", e.Seq, e.Kind, into.Kind())
	}
	d := json.NewDecoder(bytes.NewReader(e.Body))
	if err := d.Decode(into); err != nil {
		return fmt.Errorf("decode entry %d (%s): %w", e.Seq, e.Kind, err)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return fmt.Errorf("decode entry %d (%s): something follows the body", e.Seq, e.Kind)
	}
	if err := into.check(); err != nil {
		return fmt.Errorf("decode entry %d (%s): %w", e.Seq, e.Kind, err)
	}
	return nil
}

// Input returns what the rules were given when the entry was made; ok is false
// for entries that the rules do not take in, because they follow from others.
func (e Entry) Input() (in rules.Input, ok bool, err error) {
	switch e.Kind {
	case KindReading:
		return rules.OfFrame(e.Frame), true, nil
	case KindEvent:
		var b Event
		if err := e.Decode(&b); err != nil {
			return rules.Input{}, false, err
		}
		event, err := b.Event()
		return rules.OfEvent(e.At, event), err == nil, err
	case KindRestart:
		var b Restart
		if err := e.Decode(&b); err != nil {
			return rules.Input{}, false, err
		}
		return rules.Input{Kind: rules.RestartInput, At: e.At, GapKnown: b.GapKnown}, true, nil
	}
	return rules.Input{}, false, nil
}
