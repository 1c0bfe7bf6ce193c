package rules

import "time"

// hold counts the time the oil spends at or above its floor. Only trusted
// readings count, on monotonic offsets; a gap longer than holdGap counts for
// nothing, for nobody knows what the oil did in it.
type hold struct {
	done    time.Duration // in this maceration
	total   time.Duration // in the batch
	at      time.Duration // last trusted reading at or above the floor
	linked  bool          // at counts as the start of the next stretch
	oilMax  float64
	oilSeen bool
}

const (
	// holdGap: a probe in oil follows within some 40 s (time constant 7–18 s in
	// water, two to four times that in oil); oil itself moves slower still.
	holdGap = 30 * time.Second
	// holdSlack: a hold short by less than a poll or two of a slow trace is done.
	holdSlack = 10 * time.Second
)

func (h *hold) take(v *sight, counts bool) {
	if v.oil.good && counts && (!h.oilSeen || v.oil.c > h.oilMax) {
		h.oilMax, h.oilSeen = v.oil.c, true
	}
	switch {
	case !counts:
		h.linked = false
	case !v.oil.good:
		// nothing known at this instant: the stretch may go on within holdGap
	case v.oil.c < v.floor:
		h.linked = false
	default:
		if h.linked && v.now-h.at <= holdGap {
			h.done += v.now - h.at
			h.total += v.now - h.at
		}
		h.at, h.linked = v.now, true
	}
}

// again starts the hold of the next maceration.
func (h *hold) again() { h.done, h.linked = 0, false }

func (h *hold) enough(cfg *Config) bool { return h.done+holdSlack >= cfg.Recipe.Hold }
