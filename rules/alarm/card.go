package alarm

import (
	"strings"

	"bainward/rules"
)

// Class groups alarms by what is at stake. Those of one class are tested,
// shelved and reviewed alike.
type Class uint8

// The classes.
const (
	Safety     Class = iota // people and house: burns, smoke, fire
	Quality                 // the oil: spoiled, weak or wet
	Instrument              // the watching itself
	classCount
)

var classWords = [classCount]string{"safety", "product quality", "instrument"}

func (c Class) String() string {
	if c < classCount {
		return classWords[c]
	}
	return "unknown-class"
}

// Card is all that a person should find written down about one alarm: the
// fields of its rationalisation in ANSI/ISA-18.2 (tag, type, set-point,
// priority, class, cause, consequence, action, time to respond; from memory).
type Card struct {
	Alarm     rules.ID // the tag
	Type      string   // one of the standard's types of alarm, from memory
	Class     Class
	SetPoint  string   // in words, with the limits that hold
	Means     string   // what is the matter
	Why       string   // the consequence if nobody does anything
	Causes    []string // the likely ones, the likeliest first
	Do        []string // steps, in order
	Within    string   // how long there is to do it
	WithinWhy string   // how that is known
	Rationale Rationale
}

// CardOf returns the card of an alarm under the limits that hold, in the units
// that people read.
func CardOf(id rules.ID, limits *rules.Limits, u rules.Units) Card {
	p := &pages()[id]
	c := Card{
		Alarm: id, Type: p.kind, Class: p.class, SetPoint: setPoint(id, limits, u),
		Means: p.means, Why: p.why, Causes: p.causes, Do: steps(rules.Advice(id)),
		Within: p.within, WithinWhy: p.withinWhy, Rationale: Of(id),
	}
	if id == rules.TopUpDue {
		c.Within = span(limits.TopUpDue.LeadS)
	}
	return c
}

// Short says of an alarm what fits on the lock screen of a phone: the fact (at
// most 28 characters), what to do now (60) and the time that is left (24).
func Short(id rules.ID) (fact, do, left string) {
	if id >= rules.IDCount {
		return "", "", ""
	}
	p := &pages()[id]
	return p.fact, p.now, p.left
}

// steps takes an advice apart, a sentence a step, so that pages and cards never
// tell two things.
func steps(advice string) []string {
	all := strings.SplitAfter(advice, ". ")
	for i, s := range all {
		all[i] = strings.TrimSpace(s)
	}
	return all
}
