package app

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"time"

	"bainward/daemon/people"
	"bainward/daemon/record"
)

// persons is who may come in, as the record last said it. Under mu of the App.
type persons struct {
	stood map[string]people.Standing
	last  time.Time // of the last change that a command made
	// edition is that of the door up to which all is in the record; 0: none.
	edition uint64
}

// openPersons reads it back.
func (a *App) openPersons(ctx context.Context) error {
	entries, err := a.record.OfKind(ctx, record.KindPerson)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if err := a.keepPerson(e); err != nil {
			return fmt.Errorf("entry %d: %w", e.Seq, err)
		}
	}
	return nil
}

// keepPerson takes a recorded entry in; most are none.
func (a *App) keepPerson(e record.Entry) error {
	if e.Kind != record.KindPerson {
		return nil
	}
	var b record.Person
	if err := e.Decode(&b); err != nil {
		return err
	}
	role := people.NoRole
	if b.Role != "" {
		var err error
		if role, err = people.ParseRole(b.Role); err != nil {
			return err
		}
	}
	at, err := b.When()
	if err != nil {
		return err
	}
	p := &a.persons
	if p.stood == nil {
		p.stood = map[string]people.Standing{}
	}
	p.stood[b.Who] = people.Standing{Role: role, Mark: b.Mark}
	if at.After(p.last) {
		p.last = at
	}
	return nil
}

// enterPersons drafts what changed about who may come in since the record last said
// it. What is in the record is the only memory of that, so nothing is lost when a
// commit fails or the daemon is killed, and nothing is entered twice.
func (a *App) enterPersons(d *draft) {
	if a.door == nil {
		return
	}
	edition := a.door.Edition()
	if edition == a.persons.edition {
		return
	}
	a.enterChanges(d, a.door.Since(a.persons.stood, a.persons.last))
	d.then(func() { a.persons.edition = edition })
}

// nobodySignsIn drafts that the site file names nobody any more: whoever reaches the
// pages may do everything from now on, and that is a change of who may come in.
func (a *App) nobodySignsIn(d *draft) {
	var gone []people.Change
	for _, name := range slices.Sorted(maps.Keys(a.persons.stood)) {
		if s := a.persons.stood[name]; s.Role != people.NoRole {
			gone = append(gone, people.Change{What: people.Removed, Who: name, By: people.BySiteFile, Mark: s.Mark})
		}
	}
	a.enterChanges(d, gone)
}

// enterChanges drafts an entry for each change. One that makes no sense was written
// into the file by hand: it holds up no reading of a bath.
func (a *App) enterChanges(d *draft, all []people.Change) {
	for _, c := range all {
		b := personOf(c)
		if _, err := record.Of(d.at, d.wall, "", b); err != nil {
			a.opt.Logger.Warn("a change in the file of passwords cannot be recorded", "error", err)
			continue
		}
		d.add("", b)
	}
}

func personOf(c people.Change) record.Person {
	b := record.Person{What: string(c.What), Who: c.Who, By: c.By, Mark: c.Mark}
	if c.Role != people.NoRole {
		b.Role = c.Role.String()
	}
	if !c.At.IsZero() {
		b.At = c.At.UTC().Format("2006-01-02T15:04:05.000Z07:00")
	}
	return b
}
