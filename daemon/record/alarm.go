package record

import (
	"fmt"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
)

// Finding is a rule changing its mind. Make it with FindingOf.
type Finding struct {
	Rule string `json:"rule"` // a word of rules.ID
	said
}

// said is what a rule said, as its finding and the alarm from it write it.
type said struct {
	Level string `json:"level"` // a word of rules.Level
	Cause uint8  `json:"cause"` // the rule's own number
	A     Number `json:"a"`
	B     Number `json:"b"`
}

func saidOf(f rules.Finding) said {
	return said{Level: f.Level.String(), Cause: uint8(f.Cause), A: Number(f.A), B: Number(f.B)}
}

func (s said) finding() (rules.Finding, error) {
	// An unknown level is written as "not evaluated", which is a level itself.
	level, err := parseWord[rules.Level]("level", s.Level, "")
	return rules.Finding{Level: level, Cause: rules.Cause(s.Cause), A: float64(s.A), B: float64(s.B)}, err
}

// FindingOf returns the body that says what the rule id said.
func FindingOf(id rules.ID, f rules.Finding) Finding {
	return Finding{Rule: id.String(), said: saidOf(f)}
}

// Kind returns KindFinding.
func (Finding) Kind() Kind { return KindFinding }

// Finding returns which rule said what.
func (b Finding) Finding() (rules.ID, rules.Finding, error) {
	id, err := parseID(b.Rule)
	if err != nil {
		return 0, rules.Finding{}, err
	}
	f, err := b.said.finding()
	return id, f, err
}

func (b Finding) check() error {
	_, _, err := b.Finding()
	return err
}

// Alarm is an alarm going from a state to another. Make it with AlarmOf.
type Alarm struct {
	Alarm    string `json:"alarm"`    // a word of rules.ID
	From     string `json:"from"`     // a word of alarm.State
	To       string `json:"to"`       // a word of alarm.State
	Priority string `json:"priority"` // a word of alarm.Priority
	said            // what the rule said at that instant
}

// AlarmOf returns the body that holds c.
func AlarmOf(c alarm.Change) Alarm {
	return Alarm{
		Alarm: c.Alarm.String(), From: c.From.String(), To: c.To.String(),
		Priority: c.Priority.String(), said: saidOf(c.Finding),
	}
}

// Kind returns KindAlarm.
func (Alarm) Kind() Kind { return KindAlarm }

// Change returns the change of the alarm.
func (b Alarm) Change() (alarm.Change, error) {
	var c alarm.Change
	var err error
	if c.Alarm, err = parseID(b.Alarm); err != nil {
		return c, err
	}
	if c.From, err = parseWord[alarm.State]("alarm state", b.From, "unknown-state"); err != nil {
		return c, err
	}
	if c.To, err = parseWord[alarm.State]("alarm state", b.To, "unknown-state"); err != nil {
		return c, err
	}
	if c.Priority, err = parseWord[alarm.Priority]("priority", b.Priority, ""); err != nil {
		return c, err
	}
	c.Finding, err = b.said.finding()
	return c, err
}

func (b Alarm) check() error {
	_, err := b.Change()
	return err
}

// Command is what a person did to an alarm. Make it with CommandOf.
type Command struct {
	Alarm  string        `json:"alarm"`  // a word of rules.ID
	Action string        `json:"action"` // a word of alarm.Action
	For    time.Duration `json:"for_ns,omitempty"`
	Reason string        `json:"reason,omitempty"`
	By     string        `json:"by,omitempty"`
}

// CommandOf returns the body that holds c, given by a person.
func CommandOf(c alarm.Command, by string) Command {
	return Command{Alarm: c.Alarm.String(), Action: c.Action.String(), For: c.For, Reason: c.Reason, By: by}
}

// Kind returns KindCommand.
func (Command) Kind() Kind { return KindCommand }

// Command returns what the alarms were told.
func (b Command) Command() (alarm.Command, error) {
	id, err := parseID(b.Alarm)
	if err != nil {
		return alarm.Command{}, err
	}
	action, ok := alarm.ParseAction(b.Action)
	if !ok {
		return alarm.Command{}, fmt.Errorf("unknown action %q", b.Action)
	}
	return alarm.Command{Alarm: id, Action: action, For: b.For, Reason: b.Reason}, nil
}

func (b Command) check() error {
	_, err := b.Command()
	return err
}

func parseID(word string) (rules.ID, error) {
	id, ok := rules.ParseID(word)
	if !ok {
		return 0, fmt.Errorf("unknown rule %q", word)
	}
	return id, nil
}

// parseWord finds the value whose String is word. The String of a value outside
// the set, other, is never taken for one.
func parseWord[T interface {
	~uint8
	String() string
}](what, word, other string) (T, error) {
	for i := range 256 {
		if v := T(i); word != other && v.String() == word {
			return v, nil
		}
	}
	return 0, fmt.Errorf("unknown %s %q", what, word)
}
