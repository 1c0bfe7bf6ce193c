package tally

import (
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
)

// Moment is an offset that may not have come.
type Moment struct {
	At    time.Duration
	Known bool
}

func moment(at time.Duration) Moment { return Moment{At: at, Known: true} }

// Ending is how an annunciation ceased to stand.
type Ending uint8

// The endings.
const (
	Stands     Ending = iota // it has not ended
	Cleared                  // its cause is gone
	PutAway                  // a person shelved it or took it out of service
	Suppressed               // silent by design from here on
	Forgotten                // a new batch began, or a restart found none open
)

// Annunciation is one call of one alarm. Offsets are those of the record.
type Annunciation struct {
	Bath     string
	Alarm    rules.ID
	Priority alarm.Priority
	Wall     time.Time // when it was raised, for people
	Raised   time.Duration
	// Answered: a person acknowledged it, shelved it or took it out of service.
	Answered Moment
	Ended    Moment
	Ending   Ending
	// Lost: it went unanswered, and nobody can answer it any more: it called
	// anew, was suppressed or forgotten.
	Lost bool
}

// Calls reports whether it still waits for an answer.
func (a *Annunciation) Calls() bool { return !a.Answered.Known && !a.Lost }

// Tag is one alarm of one bath.
type Tag struct {
	Bath  string
	Alarm rules.ID
}

func (a *Annunciation) tag() Tag { return Tag{a.Bath, a.Alarm} }
