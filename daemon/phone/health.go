package phone

import (
	"time"

	"bainward/daemon/phone/calls"
)

// Health is how a channel does, for pages and metrics.
type Health struct {
	Channel string
	Waiting int // notices, those being sent included

	Delivered, Failed, GaveUp, Withdrawn int64 // tries that failed; notices else
	Dropped                              int64 // of GaveUp: for want of room

	FailingSince time.Time // zero: the last try went well, or there was none
	LastError    string    // of the last try, if it failed
}

// Health tells how each channel does, in the order of Options.
func (d *Desk) Health() []Health {
	all := make([]Health, 0, len(d.order))
	for _, l := range d.order {
		l.mu.Lock()
		h := l.health
		h.Waiting = len(l.jobs)
		l.mu.Unlock()
		all = append(all, h)
	}
	return all
}

func (h *Health) count(r calls.Result) {
	switch r {
	case calls.Delivered:
		h.Delivered++
	case calls.Failed:
		h.Failed++
	case calls.GaveUp:
		h.GaveUp++
	case calls.Withdrawn:
		h.Withdrawn++
	}
}

func (h *Health) fail(now time.Time, said string) {
	if h.FailingSince.IsZero() {
		h.FailingSince = now
	}
	h.LastError = said
}
