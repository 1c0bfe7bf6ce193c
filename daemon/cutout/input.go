package cutout

import (
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/fold"
	"bainward/sensors"
)

// Fresh is how long one poll of a bath counts. A dry pan gains 1 to 2 K a second:
// ten seconds of not knowing are few enough, and a loose plug or a slow disk
// passes by within them.
const Fresh = 10 * time.Second

// Poll is what one poll of a bath told.
type Poll struct {
	// Seen: the probes by which the two alarms are judged gave a value. A poll
	// without counts as none.
	Seen bool
	Dry  alarm.State // of boiling-dry
	Hot  alarm.State // of overheating
}

// PollOf takes a poll from what pages show. Of the oil and the bath probe every
// one that is fitted must give a value, and at least one must be fitted: a dry
// pan is told by the one, hot oil by the other.
func PollOf(s fold.Snapshot) Poll {
	p := Poll{Dry: s.Alarms[rules.BoilingDry].State, Hot: s.Alarms[rules.Overheating].State}
	for _, role := range [...]sensors.Role{sensors.Oil, sensors.Bath} {
		switch s.Faults[role] {
		case sensors.NoFault:
			p.Seen = true
		case sensors.NotFitted:
		default:
			p.Seen = false
			return p
		}
	}
	return p
}

// What says what an input is.
type What uint8

// The inputs. The zero What is that time went on and nothing else.
const (
	Tick   What = iota
	Polled      // the bath was polled, and judged: Poll
	Reset       // Who wants the heat back
	End         // the daemon ends
)

// Input is what happened at one instant.
type Input struct {
	At   time.Duration // on a clock that never goes back
	What What
	Poll Poll   // of Polled
	Who  string // of Reset: the person
}

// Trip is what cut the heat until a person resets it. The zero Trip is none.
type Trip struct {
	Set   bool
	Alarm rules.ID // which alarm did it
}

// gravest returns the alarm of p that stands, the dry pan first.
func (p Poll) gravest() (rules.ID, bool) {
	switch {
	case p.Dry.Open():
		return rules.BoilingDry, true
	case p.Hot.Open():
		return rules.Overheating, true
	}
	return 0, false
}

// hidden returns an alarm of p of which nobody sees whether it stands: shelved,
// suppressed, or out of service.
func (p Poll) hidden() (rules.ID, alarm.State, bool) {
	switch {
	case p.Dry != alarm.Normal && !p.Dry.Open():
		return rules.BoilingDry, p.Dry, true
	case p.Hot != alarm.Normal && !p.Hot.Open():
		return rules.Overheating, p.Hot, true
	}
	return 0, alarm.Normal, false
}
