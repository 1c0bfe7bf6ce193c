package app

import (
	"fmt"
	"time"

	"bainward/daemon/phone/calls"
	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/batch/ledger"
	"bainward/rules/fold"
	"bainward/sensors"
)

// bath is one bath as the loop keeps it.
type bath struct {
	name   string
	probes [sensors.RoleCount]sensors.Address
	cfg    *rules.Config
	state  fold.Bath
	batch  string // number of the batch the record holds open; empty: none
	frame  sensors.Frame
	past   history
}

// closeAfter is how long a bottled or abandoned batch stays open in the record,
// so that a slip of the finger can be taken back.
const closeAfter = time.Hour

// draft is what one poll or one deed is about to change: nothing of it counts
// until the record has its entries.
type draft struct {
	at      time.Duration
	wall    time.Time
	day     ledger.Day // at the site
	entries []record.Entry
	after   []func() // done once the entries are recorded
	changes []change
	// by and via say who did it and through what, for those who are called.
	by, via  string
	happened []calls.Happening // beyond the changes of alarms
	ended    []string          // calls that end with it
	err      error
}

// change is an alarm that changed, for those who are told.
type change struct {
	bath *bath
	told fold.Told
}

func (d *draft) add(bath string, b record.Body) {
	e, err := record.Of(d.at, d.wall, bath, b)
	if err != nil {
		d.fail(err)
		return
	}
	d.entries = append(d.entries, e)
}

// fail keeps the first thing that makes the draft one that cannot be recorded.
func (d *draft) fail(err error) {
	if d.err == nil {
		d.err = err
	}
}

// then remembers what to do once the record holds the draft.
func (d *draft) then(f func()) { d.after = append(d.after, f) }

// input folds one input into state and drafts the entries that follow. own is
// the entry of the input itself.
func (d *draft) input(b *bath, state *fold.Bath, batch *string, in rules.Input, own func()) {
	next, told := state.Step(b.cfg, in)
	var out []rules.ID
	if told.Opened {
		if out = d.returnAll(b, state); len(out) > 0 {
			next, told = state.Step(b.cfg, in)
		}
		d.close(b, state, batch)
		d.open(b, batch)
	}
	own()
	*state = next
	d.follow(b, state, &told)
	d.takeOut(b, state, out)
	if told.Noticed != rules.NoEvent {
		e := rules.Event{Kind: told.Noticed}
		d.input(b, state, batch, rules.OfEvent(in.At, e), func() {
			d.add(b.name, record.EventOf(e, seenBy, *batch))
		})
	}
}

// seenBy stands for the person in events that nobody entered.
const seenBy = "seen, not logged"

// follow drafts the entries that follow from what an input changed, and
// remembers what there is to announce. state is the bath after it.
func (d *draft) follow(b *bath, state *fold.Bath, told *fold.Told) {
	d.write(b, state, told)
	if len(told.Changes.All()) > 0 || told.Before != told.After {
		d.changes = append(d.changes, change{b, *told})
	}
}

// write drafts the entries that follow from what an input changed.
func (d *draft) write(b *bath, state *fold.Bath, told *fold.Told) {
	if told.Before != told.After {
		d.add(b.name, record.PhaseOf(told.After, state.Rules.Pass()))
	}
	for _, id := range told.Moved() {
		d.add(b.name, record.FindingOf(id, told.Found[id]))
	}
	for _, c := range told.Changes.All() {
		d.add(b.name, record.AlarmOf(c))
	}
}

// open drafts the opening of a batch.
func (d *draft) open(b *bath, batch *string) {
	*batch = b.past.number(d.day, b.name)
	number := *batch
	d.add(b.name, record.Batch{State: record.Opened, Number: number, Recipe: b.cfg.Recipe.Name})
	d.then(func() { b.past.opened(number) })
}

// close drafts the closing of the batch that is open, if there is one.
func (d *draft) close(b *bath, state *fold.Bath, batch *string) {
	if *batch == "" {
		return
	}
	d.add(b.name, record.Batch{State: record.Closed, Number: *batch,
		Recipe: b.cfg.Recipe.Name, Verdict: state.Rules.Verdict().String()})
	*batch = ""
}

// poll drafts one frame of a bath.
func (d *draft) poll(b *bath, f sensors.Frame) {
	state, batch := b.state, b.batch
	if batch != "" && !state.Rules.Begun() && state.Rules.PhaseFor() >= closeAfter {
		d.close(b, &state, &batch)
	}
	d.input(b, &state, &batch, rules.OfFrame(f), func() {
		d.entries = append(d.entries, record.OfFrame(b.name, f))
	})
	d.learn(b, b.state.Rules.Phase(), &state)
	d.then(func() {
		b.state, b.batch, b.frame = state, batch, f
		b.past.point(&b.state, b.cfg, f)
	})
}

// findBath returns the bath of that name.
func (a *App) findBath(name string) (*bath, error) {
	for _, b := range a.baths {
		if b.name == name {
			return b, nil
		}
	}
	return nil, fmt.Errorf("bath %q: this site has no such bath", name)
}
