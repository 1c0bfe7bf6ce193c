package verify

import (
	"cmp"
	"fmt"
	"slices"
)

// tellHoles tells which numbers are missing and why that is not known yet: not
// those of a block that cannot be read, which was told, nor those of readings
// that were thinned out, if there are as many as there should be.
func (t *timeline) tellHoles() {
	excused := merged(append(slices.Clone(t.unknown), t.gone...))
	var covered int64
	for _, h := range merged(t.holes) {
		for _, e := range excused {
			if h.from > h.to {
				break
			}
			if e.to < h.from || e.from > h.to {
				continue
			}
			t.missing(h.from, e.from-1)
			covered += min(h.to, e.to) - max(h.from, e.from) + 1
			h.from = e.to + 1
		}
		t.missing(h.from, h.to)
	}
	if len(t.unknown) == 0 && covered != t.thinned {
		t.found.add(Finding{Kind: MissingNumber, Entry: t.gone[0].from, Expected: fmt.Sprintf("%d numbers without an entry, of readings that were thinned out", t.thinned),
			Found: fmt.Sprintf("%d between entries %d and %d", covered, t.gone[0].from, t.gone[len(t.gone)-1].to)})
	}
}

// missing tells of numbers from and to, if there are any.
func (t *timeline) missing(from, to int64) {
	if from > to {
		return
	}
	found := fmt.Sprintf("no entry %d", from)
	if to > from {
		found = fmt.Sprintf("none of entries %d to %d", from, to)
	}
	t.found.add(Finding{Kind: MissingNumber, Entry: from, Expected: "every number", Found: found})
}

// excuse adds a span to a list, made one with the last if they touch, so that a
// long list stays short.
func excuse(list []span, s span) []span {
	if n := len(list); n > 0 && list[n-1].from <= s.from && s.from <= list[n-1].to+1 {
		list[n-1].to = max(list[n-1].to, s.to)
		return list
	}
	return append(list, s)
}

// merged sorts spans and makes one of those that touch.
func merged(list []span) []span {
	slices.SortFunc(list, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	var short []span
	for _, s := range list {
		if s.from <= s.to {
			short = excuse(short, s)
		}
	}
	return short
}
