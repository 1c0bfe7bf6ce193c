package verify

import (
	"bytes"
	"fmt"
	"time"

	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/fold"
)

// expect lists the entries that must follow from what was changed.
func (f *follower) expect(h head, told *fold.Told) error {
	if told.Before != told.After {
		if err := f.owe(h, record.PhaseOf(told.After, f.state.Rules.Pass())); err != nil {
			return err
		}
	}
	for _, id := range told.Moved() {
		if err := f.owe(h, record.FindingOf(id, told.Found[id])); err != nil {
			return err
		}
	}
	for _, c := range told.Changes.All() {
		if err := f.owe(h, record.AlarmOf(c)); err != nil {
			return err
		}
	}
	if told.Noticed != rules.NoEvent {
		f.noticed = told.Noticed
	}
	return nil
}

// learned owes the config that holds what a maceration taught about its bath, if
// the heat just ended.
func (f *follower) learned(h head, told *fold.Told) error {
	if !told.Before.Lit() || told.After.Lit() {
		return nil
	}
	next := *f.cfg
	next.Prior = f.state.Rules.Learned(f.cfg)
	if next == *f.cfg {
		return nil
	}
	return f.owe(h, record.Config{Config: next})
}

func (f *follower) owe(h head, body record.Body) error {
	due, err := record.Of(h.at, time.UnixMilli(h.wallMS), f.bath, body)
	f.due = append(f.due, due)
	return err
}

// follows takes an entry that must be the next due.
func (f *follower) follows(e record.Entry) error {
	if len(f.due) == 0 {
		return f.misfit(e.Seq, "nothing: nothing changed", fmt.Sprintf("%s %s", e.Kind, e.Body))
	}
	due := f.due[0]
	f.due = f.due[1:]
	if e.Kind != due.Kind || e.At != due.At || !bytes.Equal(e.Body, due.Body) {
		return f.misfit(e.Seq, fmt.Sprintf("%s %s at %v", due.Kind, due.Body, due.At), fmt.Sprintf("%s %s at %v", e.Kind, e.Body, e.At))
	}
	f.followed++
	return nil
}

// complete fails if something is missing that the last reading showed: what it
// shows is entered with it, in the same instant.
func (f *follower) complete(seq int64) error {
	if f.noticed != rules.NoEvent {
		return f.misfit(seq, fmt.Sprintf("an event %s after entry %d, where the readings show it", f.noticed, f.seq), "it is missing")
	}
	return f.settled(seq)
}

// settled fails if something that must follow is missing before entry seq.
func (f *follower) settled(seq int64) error {
	if len(f.due) > 0 {
		return f.misfit(seq, fmt.Sprintf("%s %s after entry %d", f.due[0].Kind, f.due[0].Body, f.seq), "it is missing")
	}
	return nil
}
