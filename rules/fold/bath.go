package fold

import (
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
)

// Bath is everything that is known of one bath: what the rules remember and
// how its alarms stand. It is a plain value; the zero Bath knows nothing.
type Bath struct {
	Rules  rules.State
	Alarms alarm.Book
}

// Told is what one input changed.
type Told struct {
	Before, After rules.Phase
	Opened        bool // a batch began with this input
	// Noticed is an event that the readings show and nobody entered. Whoever
	// feeds the inputs enters it next, as seen and not logged.
	Noticed rules.EventKind
	Found   rules.Findings
	Was     rules.Findings
	Changes alarm.Changes
}

// Moved lists the rules whose level or cause changed.
func (t *Told) Moved() []rules.ID {
	var ids []rules.ID
	for id := range rules.IDCount {
		if t.Found[id].Level != t.Was[id].Level || t.Found[id].Cause != t.Was[id].Cause {
			ids = append(ids, id)
		}
	}
	return ids
}

// Step takes one input into the bath.
func (b Bath) Step(cfg *rules.Config, in rules.Input) (Bath, Told) {
	var t Told
	b.Take(cfg, &in, &t)
	return b, t
}

// Take is Step in place, for whoever folds many inputs: b becomes the Bath, and t
// the Told, that Step would have returned.
func (b *Bath) Take(cfg *rules.Config, in *rules.Input, t *Told) {
	*t = Told{Before: b.Rules.Phase(), Was: b.Rules.Findings()}
	begun := b.Rules.Begun()
	b.Rules.Take(cfg, in)
	t.After, t.Found = b.Rules.Phase(), b.Rules.Findings()
	t.Opened = !begun && b.Rules.Begun()
	t.Noticed = b.Rules.Noticed()
	if in.Kind != rules.FrameInput {
		t.Noticed = rules.NoEvent
	}
	if t.Opened {
		b.Alarms.Clear(in.At, &t.Changes)
	}
	b.Alarms.Step(in.At, &t.Found, b.Rules.Suppressed, &t.Changes)
}

// Do carries out what a person asked of an alarm. On an error nothing changed.
func (b Bath) Do(at time.Duration, c alarm.Command) (Bath, Told, error) {
	var t Told
	t.Before, t.After = b.Rules.Phase(), b.Rules.Phase()
	t.Found, t.Was = b.Rules.Findings(), b.Rules.Findings()
	err := b.Alarms.Do(at, c, &t.Changes)
	return b, t, err
}

// Past is one input of a batch with what the rules went by when it came.
type Past struct {
	Config *rules.Config
	Input  rules.Input
}

// Refold puts a bath right after an entry was taken back: the rules are folded
// again over the inputs that still count, up to now, and the alarms go on from
// where they stand, so that what people did to them is kept.
func (b Bath) Refold(past []Past, now time.Duration) (Bath, Told) {
	var t Told
	t.Before, t.Was = b.Rules.Phase(), b.Rules.Findings()
	b.Rules = rules.State{}
	for i := range past {
		b.Rules.Take(past[i].Config, &past[i].Input)
	}
	t.After, t.Found = b.Rules.Phase(), b.Rules.Findings()
	b.Alarms.Step(now, &t.Found, b.Rules.Suppressed, &t.Changes)
	return b, t
}
