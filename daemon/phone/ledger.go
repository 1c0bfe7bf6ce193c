package phone

import (
	"slices"
	"sync"

	"bainward/daemon/phone/calls"
)

// ledger keeps how tries went until the record has it. It has no bound: it grows
// by the few tries that the pauses allow, and to lose one would be to send again.
type ledger struct {
	mu    sync.Mutex
	list  []calls.Tried
	ready chan struct{} // room for one signal
}

func (l *ledger) add(t calls.Tried) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.list = append(l.list, t)
	select {
	case l.ready <- struct{}{}:
	default:
	}
}

// Ready is signalled when there are outcomes to be recorded.
func (d *Desk) Ready() <-chan struct{} { return d.ledger.ready }

// Outcomes returns how the tries went that are not kept yet, in order, without
// waiting. They stay until Kept.
func (d *Desk) Outcomes() []calls.Tried {
	d.ledger.mu.Lock()
	defer d.ledger.mu.Unlock()
	return slices.Clone(d.ledger.list)
}

// Kept says that the record has the first n of the outcomes.
func (d *Desk) Kept(n int) {
	d.ledger.mu.Lock()
	defer d.ledger.mu.Unlock()
	d.ledger.list = slices.Delete(d.ledger.list, 0, n)
}
