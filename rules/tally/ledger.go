package tally

import (
	"slices"
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
)

// Ledger makes annunciations, and the times in which they could have come, of
// what a record tells. It takes everything in the order of the record. The zero
// Ledger has heard of nothing.
type Ledger struct {
	all   []Annunciation
	last  map[Tag]int // where in all an alarm called last
	baths map[string]*bathLedger
	watch []stretch
}

type bathLedger struct {
	open   bool   // a batch is
	opened Moment // when the last batch was
	lit    []Span // the last has no end yet while isLit
	isLit  bool
}

func (l *Ledger) bath(name string) *bathLedger {
	if l.baths == nil {
		l.baths, l.last = map[string]*bathLedger{}, map[Tag]int{}
	}
	b := l.baths[name]
	if b == nil {
		b = &bathLedger{}
		l.baths[name] = b
	}
	return b
}

// Heard takes it that there is a bath of that name.
func (l *Ledger) Heard(bath string) { l.bath(bath) }

// Baths lists the baths that it has heard of, by name.
func (l *Ledger) Baths() []string {
	var names []string
	for name := range l.baths {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// Restart takes the daemon coming up. Time before it was not watched, and a bath
// whose batch is not open begins with all its alarms normal.
func (l *Ledger) Restart(at time.Duration, wall time.Time) {
	l.watch = append(l.watch, stretch{Span{at, at + tick}, wall})
	for i := range l.all {
		a := &l.all[i]
		if !l.bath(a.Bath).open {
			a.end(at, Forgotten)
			a.Lost = a.Lost || !a.Answered.Known
		}
	}
	for _, b := range l.baths {
		if !b.open {
			b.phase(at, false)
		}
	}
}

// Batch takes a batch being opened or closed.
func (l *Ledger) Batch(bath string, at time.Duration, opened bool) {
	b := l.bath(bath)
	if b.open = opened; opened {
		b.opened = moment(at)
	}
}

// Phase takes a batch coming into a phase.
func (l *Ledger) Phase(bath string, at time.Duration, p rules.Phase) {
	l.bath(bath).phase(at, p.Lit())
}

func (b *bathLedger) phase(at time.Duration, lit bool) {
	switch {
	case lit && !b.isLit:
		b.lit = append(b.lit, Span{From: at})
	case !lit && b.isLit:
		b.lit[len(b.lit)-1].To = at
	}
	b.isLit = lit
}

// Command takes what a person asked of an alarm. Only what was granted stands in
// a record.
func (l *Ledger) Command(bath string, at time.Duration, c alarm.Command) {
	switch c.Action {
	case alarm.Acknowledge, alarm.Shelve, alarm.PutOutOfService:
		if a := l.lastOf(Tag{bath, c.Alarm}); a != nil && a.Calls() {
			a.Answered = moment(at)
		}
	}
}

func (l *Ledger) lastOf(t Tag) *Annunciation {
	if i, ok := l.last[t]; ok {
		return &l.all[i]
	}
	return nil
}

// Change takes an alarm going from a state to another.
func (l *Ledger) Change(bath string, at time.Duration, wall time.Time, c alarm.Change) {
	b, a := l.bath(bath), l.lastOf(Tag{bath, c.Alarm})
	if a != nil {
		switch c.To {
		case alarm.ReturnedUnacknowledged, alarm.LatchedUnacknowledged, alarm.LatchedAcknowledged:
			a.end(at, Cleared)
		case alarm.Normal:
			how := Cleared // also one that is acknowledged after it cleared
			if c.From == alarm.Unacknowledged || b.opened == moment(at) {
				how = Forgotten
			}
			a.end(at, how)
		case alarm.Shelved, alarm.OutOfService:
			a.end(at, PutAway)
		case alarm.SuppressedByDesign:
			a.end(at, Suppressed)
		}
		switch c.To {
		case alarm.Normal, alarm.SuppressedByDesign, alarm.Unacknowledged:
			a.Lost = a.Lost || !a.Answered.Known
		}
	}
	if c.To == alarm.Unacknowledged {
		l.last[Tag{bath, c.Alarm}] = len(l.all)
		l.all = append(l.all, Annunciation{Bath: bath, Alarm: c.Alarm, Priority: c.Priority, Wall: wall, Raised: at})
	}
}

func (a *Annunciation) end(at time.Duration, how Ending) {
	if !a.Ended.Known {
		a.Ended, a.Ending = moment(at), how
	}
}

// Annunciations returns those of one bath, or of all if bath is empty, in the
// order in which they came. A call that was taken back in the instant in which
// it came is left out: nobody heard it.
func (l *Ledger) Annunciations(bath string) []Annunciation {
	var all []Annunciation
	for _, a := range l.all {
		unheard := a.Ending == Forgotten && a.Ended == moment(a.Raised)
		if !unheard && (bath == "" || a.Bath == bath) {
			all = append(all, a)
		}
	}
	return all
}
