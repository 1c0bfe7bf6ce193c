package alarm_test

import (
	"strings"
	"testing"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
)

// The letters are those of the alarm state transition diagram of
// ANSI/ISA-18.2-2016, which IEC 62682 draws alike (from memory).
const letters = "ABCDEFGHI" // in the order of alarm.State

// ways are the ways into a state, each with whether the cause stands when
// it is reached; latch marks those of an alarm that latches.
var ways = map[string]struct {
	latch  bool
	stands bool
	enter  func(d *desk)
}{
	"A":       {enter: func(*desk) {}},
	"B":       {stands: true, enter: func(d *desk) { d.comes() }},
	"C":       {stands: true, enter: func(d *desk) { d.comes(); d.does(alarm.Acknowledge) }},
	"D":       {enter: func(d *desk) { d.comes(); d.goes() }},
	"G":       {enter: func(d *desk) { d.does(alarm.Shelve) }},
	"G,cause": {stands: true, enter: func(d *desk) { d.does(alarm.Shelve); d.comes() }},
	"G,ofC":   {stands: true, enter: func(d *desk) { d.comes(); d.does(alarm.Acknowledge); d.does(alarm.Shelve) }},
	"G,ofD":   {enter: func(d *desk) { d.comes(); d.goes(); d.does(alarm.Shelve) }},
	"H":       {enter: func(d *desk) { d.silent = true; d.goes() }},
	"H,cause": {stands: true, enter: func(d *desk) { d.silent = true; d.comes() }},
	"H,ofB":   {enter: func(d *desk) { d.comes(); d.silent = true; d.goes() }},
	"H,ofG":   {enter: func(d *desk) { d.does(alarm.Shelve); d.silent = true; d.says(rules.Clear, time.Second) }},
	"I":       {enter: func(d *desk) { d.does(alarm.PutOutOfService) }},
	"I,cause": {stands: true, enter: func(d *desk) { d.does(alarm.PutOutOfService); d.comes() }},
	"I,ofG":   {enter: func(d *desk) { d.does(alarm.Shelve); d.does(alarm.PutOutOfService) }},

	"B,latch":       {latch: true, stands: true, enter: func(d *desk) { d.comes() }},
	"C,latch":       {latch: true, stands: true, enter: func(d *desk) { d.comes(); d.does(alarm.Acknowledge) }},
	"E":             {latch: true, enter: func(d *desk) { d.comes(); d.goes() }},
	"F":             {latch: true, enter: func(d *desk) { d.comes(); d.goes(); d.does(alarm.Acknowledge) }},
	"G,ofE":         {latch: true, enter: func(d *desk) { d.comes(); d.goes(); d.does(alarm.Shelve) }},
	"G,ofF":         {latch: true, enter: func(d *desk) { d.comes(); d.goes(); d.does(alarm.Acknowledge); d.does(alarm.Shelve) }},
	"G,came+went":   {latch: true, enter: func(d *desk) { d.does(alarm.Shelve); d.comes(); d.goes() }},
	"H,ofE":         {latch: true, enter: func(d *desk) { d.comes(); d.goes(); d.silent = true; d.goes() }},
	"I,ofE":         {latch: true, enter: func(d *desk) { d.comes(); d.goes(); d.does(alarm.PutOutOfService) }},
	"I,came+went":   {latch: true, enter: func(d *desk) { d.does(alarm.PutOutOfService); d.comes(); d.goes() }},
	"I,cause,latch": {latch: true, stands: true, enter: func(d *desk) { d.does(alarm.PutOutOfService); d.comes() }},
}

// causes are what can happen to an alarm. Each lasts longer than every delay
// and, but for the last of the shelf, shorter than a shelf.
var causes = map[string]func(d *desk, level rules.Level) error{
	"occurs": func(d *desk, _ rules.Level) error { d.comes(); return nil },
	"clears": func(d *desk, _ rules.Level) error { d.goes(); return nil },
	"blind":  func(d *desk, _ rules.Level) error { d.says(rules.NotEvaluated, 5*time.Minute); return nil },
	"time":   func(d *desk, level rules.Level) error { d.says(level, 11*time.Minute); return nil },
	"hush":   func(d *desk, level rules.Level) error { d.silent = true; d.says(level, time.Second); return nil },
	"unhush": func(d *desk, level rules.Level) error { d.silent = false; d.says(level, 2*time.Minute); return nil },
	"batch":  func(d *desk, _ rules.Level) error { d.book.Clear(d.at, &alarm.Changes{}); return nil },
	"ack":    asks(alarm.Acknowledge),
	"shelve": asks(alarm.Shelve),
	"unshlv": asks(alarm.Unshelve),
	"out":    asks(alarm.PutOutOfService),
	"return": asks(alarm.ReturnToService),
	"reset":  asks(alarm.Reset),
}

func asks(a alarm.Action) func(*desk, rules.Level) error {
	return func(d *desk, _ rules.Level) error {
		return d.order(alarm.Command{Action: a, For: 10 * time.Minute, Reason: "the probe is being mended"})
	}
}

// diagram has a line for each way into a state and a column for what happens
// then: the state that follows, or - where a person is refused and told why.
// "blind" is a rule that cannot judge; "time" is eleven minutes in which nothing
// changes, so that a shelf runs out; "hush" and "unhush" are a suppression by
// design that begins and ends.
const diagram = `
             occurs clears blind ack shelve unshlv time hush unhush out return reset batch
A              B      A      A    -    G      -     A    H     A     I    -      -     A
B              B      D      B    C    G      -     B    H     B     I    -      -     A
C              C      A      C    -    G      -     C    H     C     I    -      -     A
D              B      D      D    A    G      -     D    H     D     I    -      -     A
G              G      G      G    -    -      A     A    H     G     I    -      -     A
G,cause        G      G      G    -    -      B     B    H     G     I    -      -     A
G,ofC          G      G      G    -    -      B     B    H     G     I    -      -     A
G,ofD          G      G      G    -    -      A     A    H     G     I    -      -     A
H              H      H      H    -    -      -     H    H     A     I    -      -     A
H,cause        H      H      H    -    -      -     H    H     B     I    -      -     A
H,ofB          H      H      H    -    -      -     H    H     A     I    -      -     A
H,ofG          H      H      H    -    -      -     H    H     A     I    -      -     A
I              I      I      I    -    -      -     I    I     I     -    A      -     I
I,cause        I      I      I    -    -      -     I    I     I     -    B      -     I
I,ofG          I      I      I    -    -      -     I    I     I     -    A      -     I

B,latch        B      E      B    C    G      -     B    H     B     I    -      -     A
C,latch        C      F      C    -    G      -     C    H     C     I    -      -     A
E              B      E      E    F    G      -     E    H     E     I    -      -     A
F              B      F      F    -    G      -     F    H     F     I    -      A     A
G,ofE          G      G      G    -    -      E     E    H     G     I    -      -     A
G,ofF          G      G      G    -    -      E     E    H     G     I    -      -     A
G,came+went    G      G      G    -    -      E     E    H     G     I    -      -     A
H,ofE          H      H      H    -    -      -     H    H     E     I    -      -     A
I,ofE          I      I      I    -    -      -     I    I     I     -    A      -     I
I,came+went    I      I      I    -    -      -     I    I     I     -    A      -     I
I,cause,latch  I      I      I    -    -      -     I    I     I     -    B      -     I
`

// From every state, whatever happens leads where the diagram says, and what is
// refused changes nothing.
func TestTheStateDiagram(t *testing.T) {
	lines := strings.Split(strings.TrimSpace(diagram), "\n")
	happens := strings.Fields(lines[0])
	tried := 0
	for _, line := range lines[1:] {
		cells := strings.Fields(line)
		if len(cells) == 0 {
			continue
		}
		for i, want := range cells[1:] {
			tried++
			t.Run(cells[0]+" "+happens[i], func(t *testing.T) { follows(t, cells[0], happens[i], want) })
		}
	}
	if want := len(ways) * len(causes); tried != want {
		t.Errorf("the diagram has %d cells, want %d", tried, want)
	}
}

func follows(t *testing.T, from, happens, want string) {
	way, ok := ways[from]
	cause, known := causes[happens]
	if !ok || !known {
		t.Fatalf("no way into %q, or no such cause as %q", from, happens)
	}
	id, level := rules.OffTheSimmer, rules.Clear
	if way.latch {
		id = rules.BoilingDry
	}
	if way.stands {
		level = rules.Raised
	}
	d := newDesk(t, id)
	way.enter(d)
	d.is(stateOf(t, from[:1]))
	before := d.book
	err := cause(d, level)
	if want == "-" {
		if err == nil || d.book != before {
			t.Errorf("it was not refused, or changed something: %v", err)
		}
		return
	}
	if err != nil {
		t.Errorf("refused: %v", err)
	}
	d.is(stateOf(t, want))
}

func stateOf(t *testing.T, letter string) alarm.State {
	t.Helper()
	i := strings.Index(letters, letter)
	if i < 0 {
		t.Fatalf("%q is no state", letter)
	}
	return alarm.State(i)
}
