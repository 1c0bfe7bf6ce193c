package tally

import "time"

// stands reckons what stands at the end of what was watched, and what stood for
// longer than a day, all in all and on the worst day. One that stood before is
// as old as the time that is reckoned.
func (f *Figures) stands(all []Annunciation, w Watch) {
	if len(w.Watched) == 0 {
		return
	}
	end := w.Watched[len(w.Watched)-1].To
	byDay := map[time.Duration]int{}
	for _, a := range all {
		if a.Raised >= end {
			continue
		}
		to := f.Watched
		if a.Ended.Known && a.Ended.At < end {
			to = clock(w.Watched, a.Ended.At)
		} else {
			f.Standing = append(f.Standing, a)
		}
		from := clock(w.Watched, a.Raised) + staleAfter
		if to <= from {
			continue
		}
		f.Stale++
		for day := from / staleAfter; day <= (to-1)/staleAfter; day++ {
			byDay[day]++
			f.StaleMost = max(f.StaleMost, byDay[day])
		}
	}
}
