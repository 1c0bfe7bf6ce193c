package tally

import (
	"slices"
	"time"
)

// stretch is a span of watching in which wall time and offsets ran alike.
type stretch struct {
	Span
	wall time.Time // at From
}

const (
	// tick is the finest step of a record: what is seen at an offset lasts so
	// long.
	tick = time.Millisecond
	// unwatched: a record in which nothing stands for so long was not written,
	// on a full disk or a sleeping machine. Probes are read every 30 s at least.
	unwatched = time.Minute
	// set: a wall clock that drifts further than this was set.
	set = 2 * time.Second
)

// Seen takes it that the record goes on: something, anything, stands at this
// offset. Every entry shows that the daemon watched.
func (l *Ledger) Seen(at time.Duration, wall time.Time) {
	if len(l.watch) == 0 {
		l.watch = append(l.watch, stretch{Span{at, at + tick}, wall})
		return
	}
	s := &l.watch[len(l.watch)-1]
	if at-s.To > unwatched {
		l.watch = append(l.watch, stretch{Span{at, at + tick}, wall})
		return
	}
	if drift := wall.Sub(s.wall) - (at - s.From); drift > set || drift < -set {
		s.To = max(s.To, at)
		l.watch = append(l.watch, stretch{Span{s.To, s.To + tick}, wall})
		return
	}
	s.To = max(s.To, at+tick)
}

// Month is a calendar month in UTC; the zero Month is all time.
type Month struct {
	Year  int
	Month time.Month
}

// Bounds returns the instant at which the month begins, and that at which the
// next one does.
func (m Month) Bounds() (from, to time.Time) {
	return time.Date(m.Year, m.Month, 1, 0, 0, 0, 0, time.UTC), time.Date(m.Year, m.Month+1, 1, 0, 0, 0, 0, time.UTC)
}

// Months lists the months in which it watched, in order.
func (l *Ledger) Months() []Month {
	var all []Month
	for _, s := range l.watch {
		first, last := s.wall.UTC(), s.wall.Add(s.To-s.From-tick).UTC()
		for m := (Month{first.Year(), first.Month()}); ; {
			all = append(all, m)
			_, next := m.Bounds()
			if next.After(last) {
				break
			}
			m = Month{next.Year(), next.Month()}
		}
	}
	slices.SortFunc(all, func(a, b Month) int { return (a.Year-b.Year)*12 + int(a.Month-b.Month) })
	return slices.Compact(all)
}

// Watch returns when the daemon watched in a month, and when in that time the
// bath was lit, or any bath if bath is empty.
func (l *Ledger) Watch(bath string, m Month) Watch {
	var watched, lit []Span
	for _, s := range l.watch {
		if m != (Month{}) {
			from, to := m.Bounds()
			s.Span = Span{max(s.From, s.From+from.Sub(s.wall)), min(s.To, s.From+to.Sub(s.wall))}
		}
		if s.From < s.To {
			watched = append(watched, s.Span)
		}
	}
	watched = union(watched)
	for _, name := range l.Baths() {
		if bath != "" && bath != name {
			continue
		}
		lit = append(lit, l.baths[name].lit...)
		if n := len(lit); l.baths[name].isLit && len(l.watch) > 0 {
			lit[n-1].To = l.watch[len(l.watch)-1].To
		}
	}
	return Watch{Watched: watched, Lit: intersect(watched, union(lit))}
}
