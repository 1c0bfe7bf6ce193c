package record

import (
	"errors"
	"fmt"
	"time"

	"bainward/rules/batch/ledger"
	"bainward/sensors"
)

// KindStorage is the kind of a Storage. It concerns the site; the rules of the baths
// do not take it in.
const KindStorage Kind = "storage"

// Storage is how warm a place where bottles stand was for a time, an hour at most:
// it ends where its entry stands. A reading counts until the next one; what no
// reading covers was not measured. The mean kinetic temperatures of several spans,
// each by its Measured, give exactly that of all of them (shelf.Kinetic).
type Storage struct {
	Place    ledger.Place `json:"place"`
	Probe    string       `json:"probe"`       // its address
	From     int64        `json:"from_ms"`     // offset
	To       int64        `json:"to_ms"`       // that of the entry
	Count    int          `json:"count"`       // readings that count in it
	Measured int64        `json:"measured_ms"` // for so long they do
	// Of those readings, corrected, in °C; nil if there is none.
	Min     *float64 `json:"min_c,omitempty"`
	Max     *float64 `json:"max_c,omitempty"`
	Kinetic *float64 `json:"kinetic_c,omitempty"`
	Warm    float64  `json:"warm_c"` // above it the place was to be called too warm
	// Faults are how often the probe was asked and gave no temperature, by
	// sensors.Fault.Code; "away" while it was being calibrated.
	Faults map[string]int `json:"faults,omitempty"`
}

// Kind returns KindStorage.
func (Storage) Kind() Kind { return KindStorage }

// Address returns the probe.
func (b Storage) Address() (sensors.Address, error) { return sensors.ParseAddress(b.Probe) }

func (b Storage) check() error {
	if _, ok := b.Place.Storage(); !ok {
		return fmt.Errorf("place %q: want %s, %s or %s", b.Place, ledger.Room, ledger.Cool, ledger.Fridge)
	}
	if address, err := b.Address(); err != nil || address.String() != b.Probe {
		return fmt.Errorf("the place's probe %q is no address", b.Probe)
	}
	switch lasted := b.To - b.From; {
	case b.From < 0 || lasted <= 0:
		return fmt.Errorf("it lasts from %d to %d ms", b.From, b.To)
	case b.Measured < 0 || b.Measured > lasted || (b.Measured > 0) != (b.Count > 0):
		return fmt.Errorf("%d readings that count for %d ms of %d", b.Count, b.Measured, lasted)
	case (b.Min == nil) != (b.Count == 0) || (b.Max == nil) != (b.Count == 0) || (b.Kinetic == nil) != (b.Count == 0):
		return errors.New("temperatures without readings, or readings without temperatures")
	case b.Count > 0 && !(*b.Min <= *b.Kinetic && *b.Kinetic <= *b.Max):
		return fmt.Errorf("a mean kinetic temperature of %v °C between %v and %v °C", *b.Kinetic, *b.Min, *b.Max)
	}
	return nil
}

// Stored returns what a storage entry tells the books. Its times follow from when
// it was written and its offsets, so that a clock that was set meanwhile, as it is
// when a computer without a clock chip learns the time, moves the whole of it.
func (e Entry) Stored() (ledger.Stored, error) {
	var b Storage
	if err := e.Decode(&b); err != nil {
		return ledger.Stored{}, err
	}
	ms := func(n int64) time.Duration { return time.Duration(n) * time.Millisecond }
	s := ledger.Stored{
		Place: b.Place, From: e.Wall.Add(ms(b.From) - e.At), To: e.Wall.Add(ms(b.To) - e.At),
		Measured: ms(b.Measured), WarmC: b.Warm,
	}
	if b.Count > 0 {
		s.KineticC, s.MinC, s.MaxC = *b.Kinetic, *b.Min, *b.Max
	}
	return s, nil
}
