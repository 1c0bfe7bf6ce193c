// Package alarm is the life cycle of an alarm: a finding that lasts becomes
// unacknowledged, a person acknowledges, shelves or resets it, and it returns
// to normal. The states are those of IEC 62682 and ANSI/ISA-18.2.
//
// It is part of the pure core: Step takes the findings of one instant and what
// people asked for, and returns the new states and what changed.
package alarm

import (
	"time"

	"bainward/rules"
)

// State is the state of one alarm.
type State uint8

// The states of IEC 62682 (letters as in the ISA-18.2 state diagram).
const (
	Normal                 State = iota // A
	Unacknowledged                      // B
	Acknowledged                        // C
	ReturnedUnacknowledged              // D
	LatchedUnacknowledged               // E: the cause is gone, the alarm stays until a person has seen it
	LatchedAcknowledged                 // F: seen, waits for reset
	Shelved                             // G
	SuppressedByDesign                  // H
	OutOfService                        // I
	stateCount
)

var stateWords = [stateCount]string{
	"normal", "unacknowledged", "acknowledged", "returned-unacknowledged",
	"latched-unacknowledged", "latched-acknowledged", "shelved",
	"suppressed-by-design", "out-of-service",
}

func (s State) String() string {
	if s < stateCount {
		return stateWords[s]
	}
	return "unknown-state"
}

// Open reports whether the alarm wants a person or still stands.
func (s State) Open() bool { return s >= Unacknowledged && s <= LatchedAcknowledged }

// Priority is how soon a person must act.
type Priority uint8

// The priorities.
const (
	Low Priority = iota
	Medium
	High
	Critical
)

func (p Priority) String() string {
	return [...]string{"low", "medium", "high", "critical"}[p&3]
}

// Action is what a person does to an alarm.
type Action uint8

// The actions.
const (
	NoAction Action = iota
	Acknowledge
	Shelve   // for a time, at most MaxShelf
	Unshelve //
	Reset    // a latched alarm whose cause is gone
	PutOutOfService
	ReturnToService
	actionCount
)

var actionWords = [actionCount]string{
	"", "acknowledge", "shelve", "unshelve", "reset", "out-of-service", "return-to-service",
}

func (a Action) String() string {
	if a < actionCount {
		return actionWords[a]
	}
	return "unknown-action"
}

// ParseAction finds the action named s.
func ParseAction(s string) (Action, bool) {
	for a := Acknowledge; a < actionCount; a++ {
		if actionWords[a] == s {
			return a, true
		}
	}
	return NoAction, false
}

// Command is an action of a person on one alarm.
type Command struct {
	Alarm  rules.ID
	Action Action
	For    time.Duration // of Shelve
	Reason string        // of Shelve and PutOutOfService
}

// Change is one alarm going from a state to another.
type Change struct {
	Alarm    rules.ID
	From, To State
	Priority Priority
	Finding  rules.Finding // what the rule said at that instant
}
