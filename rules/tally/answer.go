package tally

import (
	"slices"
	"time"
)

// answers reckons how soon somebody answered.
func (f *Figures) answers(all []call, w Watch) {
	var took []time.Duration
	for i := range all {
		switch c := &all[i]; {
		case c.Answered.Known:
			took = append(took, clock(w.Watched, c.Answered.At)-c.raised)
		case c.Calls():
			f.Calling++
			f.Unanswered++
		default:
			f.Unanswered++
		}
	}
	slices.Sort(took)
	f.Answered = len(took)
	f.AnswerP50, f.AnswerP90, f.AnswerMax = percentile(took, 50), percentile(took, 90), percentile(took, 100)
}

// percentile returns the smallest value that at least p percent do not exceed
// (nearest rank), 0 if there is none.
func percentile(sorted []time.Duration, p int) time.Duration {
	if len(sorted) == 0 {
		return 0
	}
	return sorted[max(0, (len(sorted)*p+99)/100-1)]
}
