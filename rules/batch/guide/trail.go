package guide

import (
	"slices"
	"time"

	"bainward/rules"
	"bainward/rules/balance"
)

// Did is an event that somebody entered.
type Did struct {
	Seq   int64 // number of its entry
	Event rules.Event
	When  time.Time
	Who   string
}

// Trail is what was done in one batch, as it was recorded. The zero Trail is one
// in which nothing was done.
type Trail struct {
	did   []Did
	held  []time.Duration // by maceration
	begun []time.Time     // of the hold, by maceration
	herb  balance.Estimate
}

// Event adds an event.
func (t *Trail) Event(d Did) { t.did = append(t.did, d) }

// Void takes an event back; any other entry is passed over.
func (t *Trail) Void(seq int64) {
	t.did = slices.DeleteFunc(t.did, func(d Did) bool { return d.Seq == seq })
}

// Phase notes that a batch came into a phase, in maceration pass.
func (t *Trail) Phase(p rules.Phase, pass int, when time.Time) {
	if p != rules.Holding || pass < 1 {
		return
	}
	t.begun = upTo(t.begun, pass)
	if t.begun[pass-1].IsZero() {
		t.begun[pass-1] = when
	}
}

// Frame notes how far maceration pass is: its hold, and what is thought of the
// water. What was thought last before the dish left the bath stays.
func (t *Trail) Frame(s *rules.State) {
	if pass := s.Pass(); pass > 0 {
		t.held = upTo(t.held, pass)
		t.held[pass-1] = s.Hold()
	}
	if e := s.Estimate(); e.HerbWaterKg.Known() {
		t.herb = e
	}
}

func upTo[T any](list []T, n int) []T {
	for len(list) < n {
		var none T
		list = append(list, none)
	}
	return list
}

// Clone returns a trail that later entries do not change.
func (t *Trail) Clone() Trail {
	return Trail{slices.Clone(t.did), slices.Clone(t.held), slices.Clone(t.begun), t.herb}
}

// find returns the last event of a kind in maceration pass. A recharge begins the
// next one, unless the batch begins with it.
func (t *Trail) find(k rules.EventKind, pass int) (d Did, ok bool) {
	at := 1
	for i, x := range t.did {
		if x.Event.Kind == rules.Recharge && i > 0 {
			at++
		}
		if x.Event.Kind == k && at == pass {
			d, ok = x, true
		}
	}
	return d, ok
}

// has reports whether an event of a kind was entered in maceration pass.
func (w *writer) has(k rules.EventKind, pass int) bool {
	_, ok := w.Trail.find(k, pass)
	return ok
}
