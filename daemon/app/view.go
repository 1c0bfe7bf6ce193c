package app

import (
	"context"
	"sync"
	"time"

	"bainward/daemon/web"
	"bainward/dashboards"
	"bainward/rules/fold"
)

// Site says what the pages call the place.
func (a *App) Site() web.SiteInfo {
	info := web.SiteInfo{Name: a.opt.Site.Name, Units: a.opt.Site.Units, Zone: a.opt.Site.Zone, Version: a.opt.Version, Demo: a.opt.Demo, Limits: &a.opt.Site.Limits}
	info.Recipes = a.site().Choices()
	return info
}

// Snapshots returns the newest state of each bath. All of it is recorded.
func (a *App) Snapshots() []fold.Snapshot {
	if s := a.shown.Load(); s != nil {
		return *s
	}
	return nil
}

// Trace returns the last stretch of a bath's readings.
func (a *App) Trace(_ context.Context, bathName string, last time.Duration) (dashboards.Trace, error) {
	b, err := a.findBath(bathName)
	if err != nil {
		return dashboards.Trace{}, err
	}
	a.mu.RLock()
	defer a.mu.RUnlock()
	return b.past.trace(b.name, last), nil
}

// Events returns the newest n lines of a bath's log, newest first.
func (a *App) Events(_ context.Context, bathName string, n int) ([]dashboards.LogLine, error) {
	b, err := a.findBath(bathName)
	if err != nil {
		return nil, err
	}
	a.mu.RLock()
	defer a.mu.RUnlock()
	return b.past.newest(n), nil
}

// Subscribe returns a channel that is signalled when Snapshots changed.
func (a *App) Subscribe() (<-chan struct{}, func()) { return a.hub.join() }

// hub signals everybody who looks on. A reader who is slow misses signals, not
// states: the newest is always there to be read.
type hub struct {
	mu   sync.Mutex
	ears map[chan struct{}]struct{}
	over bool
}

func (h *hub) join() (<-chan struct{}, func()) {
	h.mu.Lock()
	defer h.mu.Unlock()
	ear := make(chan struct{}, 1)
	if h.over {
		close(ear)
		return ear, func() {}
	}
	if h.ears == nil {
		h.ears = map[chan struct{}]struct{}{}
	}
	h.ears[ear] = struct{}{}
	return ear, func() {
		h.mu.Lock()
		defer h.mu.Unlock()
		delete(h.ears, ear)
	}
}

func (h *hub) signal() {
	h.mu.Lock()
	defer h.mu.Unlock()
	for ear := range h.ears {
		select {
		case ear <- struct{}{}:
		default:
		}
	}
}

// end closes every ear, so that streams end before the server does.
func (h *hub) end() {
	h.mu.Lock()
	defer h.mu.Unlock()
	for ear := range h.ears {
		close(ear)
		delete(h.ears, ear)
	}
	h.over = true
}
