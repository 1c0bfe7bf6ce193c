package service

import (
	"fmt"
	"sync"
	"time"
)

// The library's sends cannot be ended from outside, and some of them have no
// end of their own. So that a far end that never answers neither piles up sends
// nor blocks the channel for good, one send at a time is under way, and one that
// takes longer than lifetime is written off: the next may go while it hangs on.
// Both limits are chosen, not measured: the library's own waits are 10 or 30 s.
const (
	lifetime = 2 * time.Minute
	strays   = 3 // sends written off and still hanging, at most
)

// turn lets one send at a time go.
type turn struct {
	mu    sync.Mutex
	busy  bool
	since time.Time // when the send under way began
	round uint64    // which send is under way
	stray int
}

// take begins a send at the instant now. Whoever took it calls back once, when
// the send has ended, however late that is.
func (t *turn) take(now time.Time) (back func(), err error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if takes := now.Sub(t.since); t.busy && takes < lifetime {
		return nil, fmt.Errorf("the send before is under way for %d s: try again later", int64(takes/time.Second))
	}
	if t.busy && t.stray == strays {
		return nil, fmt.Errorf("%d sends hang: look at the service, or restart bainward", strays+1)
	}
	if t.busy {
		t.stray++
	}
	t.busy, t.since = true, now
	t.round++
	mine := t.round
	return func() { t.back(mine) }, nil
}

func (t *turn) back(round uint64) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if round == t.round {
		t.busy = false
	} else {
		t.stray--
	}
}
