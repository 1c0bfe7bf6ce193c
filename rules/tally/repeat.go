package tally

import (
	"cmp"
	"slices"
	"strings"
)

// repeats reckons which alarms call most, and which chatter or flee; all are in
// order.
func (f *Figures) repeats(all []call, w Watch) {
	calls := map[Tag][]*call{}
	for i := range all {
		calls[all[i].tag()] = append(calls[all[i].tag()], &all[i])
	}
	for tag, of := range calls {
		f.ByTag = append(f.ByTag, Share{tag, len(of)})
		if n := chatter(of); n > 0 {
			f.Chattering = append(f.Chattering, Share{tag, n})
		}
		for i, c := range of {
			if c.flees(w) && !(i+1 < len(of) && of[i+1].raised-clock(w.Watched, c.Ended.At) < fleetingIn) {
				f.Fleeting++
			}
		}
	}
	mostFirst(f.ByTag)
	mostFirst(f.Chattering)
}

// chatter counts the calls of one alarm that are among three or more within a
// minute.
func chatter(of []*call) int {
	n, counted := 0, 0 // of[:counted] are counted, or were passed over
	for i := range of {
		if i+chatters > len(of) || of[i+chatters-1].raised-of[i].raised >= chatterIn {
			continue
		}
		from := max(i, counted)
		counted = i + chatters
		n += counted - from
	}
	return n
}

// flees reports whether it cleared by itself within a minute.
func (c *call) flees(w Watch) bool {
	return c.Ending == Cleared && clock(w.Watched, c.Ended.At)-c.raised < fleetingIn
}

func mostFirst(s []Share) {
	slices.SortFunc(s, func(a, b Share) int {
		return cmp.Or(b.Count-a.Count, strings.Compare(a.Bath, b.Bath), int(a.Alarm)-int(b.Alarm))
	})
}

// TopShare is the share of the ten most frequent alarms in all annunciations,
// and of how many alarms they are the ten.
func (f *Figures) TopShare() (share float64, of int) {
	if f.Count == 0 {
		return 0, 0
	}
	n := 0
	for _, s := range f.ByTag[:min(topMost, len(f.ByTag))] {
		n += s.Count
	}
	return float64(n) / float64(f.Count), len(f.ByTag)
}
