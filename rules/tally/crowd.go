package tally

import "time"

// crowds reckons how many call at once; all are in order.
func (f *Figures) crowds(all []call) {
	at := make([]time.Duration, len(all))
	for i := range all {
		at[i] = all[i].raised
	}
	f.Hours, f.BusyHours = periods(at, f.Watched, time.Hour, busyHour)
	f.Shorts, f.BusyShorts = periods(at, f.Watched, shortPeriod, floodBegins)
	f.MostInHour, f.MostInShort = mostIn(at, time.Hour), mostIn(at, shortPeriod)
	f.Floods, f.InFlood = floods(at, f.Watched)
}

// periods counts the periods of a length that were begun, one after the other,
// and those of them in which more than most came.
func periods(at []time.Duration, watched, length time.Duration, most int) (all, busy int) {
	for i := 0; i < len(at); {
		n := at[i] / length
		began := i
		for i < len(at) && at[i]/length == n {
			i++
		}
		if i-began > most {
			busy++
		}
	}
	return int((watched + length - 1) / length), busy
}

// mostIn returns how many came, at the most, in a stretch of a length wherever
// it begins. One that came exactly so long after another is not in its stretch.
func mostIn(at []time.Duration, length time.Duration) int {
	most, first := 0, 0
	for i := range at {
		for at[i]-at[first] >= length {
			first++
		}
		most = max(most, i-first+1)
	}
	return most
}

// floods counts the floods and how long they lasted. One begins at the instant
// when more than ten have come within the last ten minutes, and ends when fewer
// than five have.
func floods(at []time.Duration, watched time.Duration) (n int, lasted time.Duration) {
	came, left := 0, 0 // of at: at[left:came] are less than ten minutes old
	flooded, began := false, time.Duration(0)
	for left < len(at) {
		now := at[left] + shortPeriod
		if came < len(at) {
			now = min(now, at[came])
		}
		if now >= watched {
			break
		}
		// What comes and what grows old in one instant does so together.
		for came < len(at) && at[came] == now {
			came++
		}
		for left < came && at[left]+shortPeriod == now {
			left++
		}
		switch {
		case !flooded && came-left > floodBegins:
			flooded, began = true, now
			n++
		case flooded && came-left < floodEnds:
			flooded = false
			lasted += now - began
		}
	}
	if flooded {
		lasted += watched - began
	}
	return n, lasted
}
