package tally

import (
	"slices"
	"time"
)

// Span is a stretch of offsets, From included and To not.
type Span struct{ From, To time.Duration }

// Watch is when the daemon watched, and when in that time a bath was lit. Both
// are in order and do not overlap.
type Watch struct{ Watched, Lit []Span }

func total(spans []Span) time.Duration {
	var sum time.Duration
	for _, s := range spans {
		sum += s.To - s.From
	}
	return sum
}

// within reports whether a span holds at.
func within(spans []Span, at time.Duration) bool {
	i, _ := slices.BinarySearchFunc(spans, at, func(s Span, at time.Duration) int {
		if s.To <= at {
			return -1
		}
		return 1
	})
	return i < len(spans) && spans[i].From <= at
}

// clock reads how much of spans has passed at an offset: a clock that runs only
// within them.
func clock(spans []Span, at time.Duration) time.Duration {
	var sum time.Duration
	for _, s := range spans {
		if at < s.To {
			return sum + max(0, at-s.From)
		}
		sum += s.To - s.From
	}
	return sum
}

// days counts the days, of 24 h from the first span on, in which anything of
// spans lies.
func days(spans []Span) int {
	const day = 24 * time.Hour
	n, next := 0, time.Duration(0) // next is the first day not counted yet
	for _, s := range spans {
		if s.To <= s.From {
			continue
		}
		first := max(next, (s.From-spans[0].From)/day)
		last := (s.To - 1 - spans[0].From) / day
		n += int(max(0, last-first+1))
		next = max(next, last+1)
	}
	return n
}

// intersect returns what lies in both a and b.
func intersect(a, b []Span) []Span {
	var both []Span
	for len(a) > 0 && len(b) > 0 {
		if s := (Span{max(a[0].From, b[0].From), min(a[0].To, b[0].To)}); s.From < s.To {
			both = append(both, s)
		}
		if a[0].To < b[0].To {
			a = a[1:]
		} else {
			b = b[1:]
		}
	}
	return both
}

// union joins spans in any order.
func union(spans []Span) []Span {
	spans = slices.Clone(spans)
	slices.SortFunc(spans, func(a, b Span) int { return int(min(1, max(-1, a.From-b.From))) })
	var all []Span
	for _, s := range spans {
		if n := len(all); n > 0 && s.From <= all[n-1].To {
			all[n-1].To = max(all[n-1].To, s.To)
			continue
		}
		all = append(all, s)
	}
	return all
}
