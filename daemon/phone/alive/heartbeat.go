package alive

import (
	"context"
	"fmt"
	"sync"
	"time"
)

// Heartbeat calls an address while all is well.
type Heartbeat struct {
	o    Options
	call func(context.Context) error

	mu     sync.Mutex
	counts Counts
}

// Counts are what a heartbeat has done since it began.
type Counts struct {
	Calls    int64     // calls made, whatever became of them
	Failures int64     // of these
	Withheld int64     // calls not made because something was not well
	LastGood time.Time // wall time of the last call that arrived; zero: none yet
	Well     bool      // what Well said last
	Why      string    // why not
	Err      error     // what became of the last call; nil: it arrived. It holds no secret
}

// New checks o.
func New(o Options) (*Heartbeat, error) {
	o, err := o.complete()
	if err != nil {
		return nil, fmt.Errorf("make heartbeat: %w", err)
	}
	return &Heartbeat{o: o, call: caller(o), counts: Counts{Well: true}}, nil
}

// Counts returns what was done so far, for metrics and pages.
func (h *Heartbeat) Counts() Counts {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.counts
}

// Run calls at once and then every Options.Every, until ctx ends. A call that
// fails is made once more after a quarter of that time, so that one lost packet
// is not taken for the end; after that the next beat has its turn. A call that
// hangs is given up before the next beat.
func (h *Heartbeat) Run(ctx context.Context) {
	beat := time.NewTicker(h.o.Every)
	defer beat.Stop()
	for {
		if !h.beat(ctx) {
			select {
			case <-ctx.Done():
				return
			case <-time.After(h.o.Every / 4):
				h.beat(ctx)
			}
		}
		select {
		case <-ctx.Done():
			return
		case <-beat.C:
		}
	}
}

// beat makes one call if all is well. It reports false if another try makes
// sense.
func (h *Heartbeat) beat(ctx context.Context) bool {
	ok, why := h.o.Well()
	if !h.judge(ok, why) {
		return true
	}
	limited, cancel := context.WithTimeout(ctx, min(callTime, h.o.Every/2))
	defer cancel()
	err := h.call(limited)
	if ctx.Err() != nil {
		return true // the daemon ends; that is no failure of the call
	}
	h.count(err)
	return err == nil
}

// judge takes note of how things are, and logs when that changes.
func (h *Heartbeat) judge(ok bool, why string) bool {
	h.mu.Lock()
	was := h.counts.Well
	h.counts.Well, h.counts.Why = ok, why
	if ok {
		h.counts.Why = ""
	} else {
		h.counts.Withheld++
	}
	h.mu.Unlock()
	switch {
	case was && !ok:
		h.o.Logger.Warn("heartbeat withheld, so that whoever listens raises the alarm", "why", why)
	case ok && !was:
		h.o.Logger.Info("heartbeat goes on: all is well again")
	}
	return ok
}

// count takes note of a call, and logs when an outage begins or ends.
func (h *Heartbeat) count(err error) {
	h.mu.Lock()
	was := h.counts.Err
	h.counts.Calls++
	h.counts.Err = err
	if err != nil {
		h.counts.Failures++
	} else {
		h.counts.LastGood = time.Now()
	}
	h.mu.Unlock()
	switch {
	case err != nil && was == nil:
		h.o.Logger.Warn("heartbeat does not arrive; trying again", "err", err)
	case err == nil && was != nil:
		h.o.Logger.Info("heartbeat arrives again")
	}
}
