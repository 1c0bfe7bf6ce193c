package rules

import (
	"fmt"
	"strconv"
	"strings"

	"periph.io/x/conn/v3/physic"
)

// EventKind is something the maker did.
type EventKind uint8

// The operator events. Their words are fixed.
const (
	NoEvent  EventKind = iota
	Fill               // water put in the pan
	Charge             // herb and oil in the dish
	Light              // heat on
	TurnDown           // from the boil to a simmer
	TopUp              // more water
	Strain             // herb strained off, dish out of the bath
	Recharge           // fresh herb into the same oil: next maceration
	Bottle             // oil into bottles
	Abandon            // the batch is given up
	Note               // words only
	eventCount
)

var eventWords = [eventCount]string{
	"", "fill", "charge", "light", "turn-down", "top-up", "strain", "recharge",
	"bottle", "abandon", "note",
}

func (k EventKind) String() string {
	if k > NoEvent && k < eventCount {
		return eventWords[k]
	}
	return "unknown-event"
}

// takesQuantity tells which events may carry how much.
func (k EventKind) takesQuantity() bool {
	return k == Fill || k == Charge || k == TopUp || k == Recharge || k == Bottle
}

// Unit is a unit in which a maker weighs or measures.
type Unit uint8

// The units, of mass and of volume.
const (
	NoUnit Unit = iota
	Kilogram
	Gram
	Pound
	Ounce
	Millilitre
	Litre
	FluidOunce
	unitCount
)

var unitWords = [unitCount]string{"", "kg", "g", "lb", "oz", "ml", "l", "floz"}

// unitSize is the mass (kg) or volume (l) of one unit. Pound and ounce:
// international avoirdupois, exact; fluid ounce: US, 29.5735295625 ml, exact
// (NIST Handbook 44, appendix C).
var unitSize = [unitCount]float64{0, 1, 1e-3, 0.45359237, 0.028349523125, 1e-3, 1, 0.0295735295625}

func (u Unit) String() string {
	if u < unitCount {
		return unitWords[u]
	}
	return "unknown-unit"
}

func (u Unit) isVolume() bool { return u == Millilitre || u == Litre || u == FluidOunce }

// Quantity is an amount as the maker gave it: thousandths of a unit.
// The zero Quantity means that none was given.
type Quantity struct {
	Milli int64
	Unit  Unit
}

// Given reports whether the maker said how much.
func (q Quantity) Given() bool { return q.Unit != NoUnit }

// Kilograms returns the mass in kg; a volume is weighed at density kg/l.
func (q Quantity) Kilograms(density float64) float64 {
	v := float64(q.Milli) / 1000 * unitSize[q.Unit%unitCount]
	if q.Unit.isVolume() {
		return float64(v * density)
	}
	return v
}

// Mass returns the mass; a volume is weighed at density kg/l.
func (q Quantity) Mass(density float64) physic.Mass {
	return physic.Mass(q.Kilograms(density) * float64(physic.KiloGram))
}

func (q Quantity) String() string {
	if !q.Given() {
		return ""
	}
	s := strconv.FormatFloat(float64(q.Milli)/1000, 'f', -1, 64)
	return s + " " + q.Unit.String()
}

// maxQuantity is more than any pan holds, in thousandths of a unit: a slip of
// the finger, not a measure.
const maxQuantity = 1_000_000_000

// ParseQuantity reads a number and a unit, such as "1.45 kg" or "500ml".
func ParseQuantity(s string) (Quantity, error) {
	s = strings.TrimSpace(s)
	cut := strings.IndexFunc(s, func(r rune) bool { return (r < '0' || r > '9') && r != '.' })
	if cut <= 0 {
		return Quantity{}, fmt.Errorf("quantity %q: want a number and a unit (kg g l ml lb oz floz), such as 1.45 kg", s)
	}
	n, err := strconv.ParseFloat(s[:cut], 64)
	if err != nil {
		return Quantity{}, fmt.Errorf("quantity %q: %q is not a number", s, s[:cut])
	}
	word := strings.TrimSpace(s[cut:])
	for u := Kilogram; u < unitCount; u++ {
		if unitWords[u] != word {
			continue
		}
		milli := float64(n*1000) + 0.5
		if milli < 1 || milli >= maxQuantity { // cut to a whole number below
			return Quantity{}, fmt.Errorf("quantity %q: out of range", s)
		}
		return Quantity{Milli: int64(milli), Unit: u}, nil
	}
	return Quantity{}, fmt.Errorf("quantity %q: unknown unit %q (kg g l ml lb oz floz)", s, word)
}

// Event is something the maker did, and how much of it.
type Event struct {
	Kind     EventKind
	Quantity Quantity
	Text     string // of a Note
}

func (e Event) String() string {
	switch {
	case e.Kind == Note:
		return "note " + e.Text
	case e.Quantity.Given():
		return e.Kind.String() + " " + e.Quantity.String()
	}
	return e.Kind.String()
}

// ParseEvent reads one event, such as "fill 1.45 kg" or "note smells of hay".
func ParseEvent(s string) (Event, error) {
	s = strings.TrimSpace(s)
	word, rest, _ := strings.Cut(s, " ")
	rest = strings.TrimSpace(rest)
	for k := Fill; k < eventCount; k++ {
		if eventWords[k] != word {
			continue
		}
		switch {
		case k == Note && rest == "":
			return Event{}, fmt.Errorf("event %q: a note needs its text", s)
		case k == Note:
			return Event{Kind: Note, Text: rest}, nil
		case rest == "" && k == Fill:
			return Event{}, fmt.Errorf("event %q: say how much water, such as fill 1.45 kg", s)
		case rest == "":
			return Event{Kind: k}, nil
		case !k.takesQuantity():
			return Event{}, fmt.Errorf("event %q: %s takes no quantity", s, word)
		}
		q, err := ParseQuantity(rest)
		if err != nil {
			return Event{}, fmt.Errorf("event %q: %w", s, err)
		}
		return Event{Kind: k, Quantity: q}, nil
	}
	return Event{}, fmt.Errorf("unknown event %q: want fill Q, charge [Q], light, turn-down, top-up [Q], strain, recharge [Q], bottle [Q], abandon or note TEXT", s)
}

// ParseEvents reads several events separated by semicolons; empty ones are
// passed over.
func ParseEvents(s string) ([]Event, error) {
	var events []Event
	for part := range strings.SplitSeq(s, ";") {
		if strings.TrimSpace(part) == "" {
			continue
		}
		e, err := ParseEvent(part)
		if err != nil {
			return nil, err
		}
		events = append(events, e)
	}
	return events, nil
}
