package app

import (
	"context"
	"slices"
	"time"

	"bainward/sensors"
)

// asking is when the probe of a place is to be read next.
type asking struct {
	due    time.Duration
	missed int // times in a row
}

const (
	// placeTries is after how many failures in a row a probe is asked more seldom: the
	// kernel tries a damaged answer again for seconds (w1_therm.c), and the baths on
	// that wire wait for it.
	placeTries = 3
	// placeSeldom is between two such tries.
	placeSeldom = 10 * placeEvery
)

// went takes note how the last reading went.
func (k *asking) went(at time.Duration, ok bool) {
	if k.missed++; ok {
		k.missed = 0
	}
	k.due = at + placeEvery
	if k.missed >= placeTries {
		k.due = at + placeSeldom
	}
}

// placesToRead lists the places whose turn it is, those that are read apart or the
// others.
func (a *App) placesToRead(beside bool) []*place {
	now := a.uptimeOffset()
	var due []*place
	for _, p := range a.places {
		if p.beside == beside && now >= p.asks.due {
			due = append(due, p)
		}
	}
	return due
}

// readWith are the probes that a poll reads: those of the baths first, then those of
// places whose turn it is, and the one that is being calibrated.
func (a *App) readWith(places []*place) []sensors.Address {
	all := slices.Clip(a.addresses)
	for _, p := range places {
		all = append(all, p.Probe)
	}
	a.mu.RLock()
	defer a.mu.RUnlock()
	if c := a.calibrating; c.live() && !slices.Contains(all, c.probe) {
		all = append(all, c.probe)
	}
	return all
}

// asked takes note of how places answered.
func (a *App) asked(places []*place, samples map[sensors.Address]sensors.Reading) {
	now := a.uptimeOffset()
	for _, p := range places {
		r, ok := samples[p.Probe]
		p.asks.went(now, ok && r.OK())
	}
}

// besides is what reading places apart gave.
type besides struct {
	asked   []*place
	samples map[sensors.Address]sensors.Reading
	err     error // of the wire as a whole
}

// keepBeside reads the places that are read apart and hands them to the loop, for as
// long as there are any.
func (a *App) keepBeside(ctx context.Context, out chan<- besides) {
	if !slices.ContainsFunc(a.places, func(p *place) bool { return p.beside }) {
		return
	}
	keepReading(ctx, a.opt.Every, out, func() (besides, bool) {
		r := a.readBeside(ctx)
		return r, len(r.asked) > 0
	})
}

// readBeside reads those whose turn it is, if any.
func (a *App) readBeside(ctx context.Context) besides {
	r := besides{asked: a.placesToRead(true), samples: map[sensors.Address]sensors.Reading{}}
	if len(r.asked) == 0 {
		return r
	}
	ctx, cancel := context.WithTimeout(ctx, giveUp)
	defer cancel()
	var probes []sensors.Address
	for _, p := range r.asked {
		probes = append(probes, p.Probe)
	}
	samples, err := a.opt.Source.Read(ctx, probes)
	for _, s := range samples {
		r.samples[s.Address] = s.Reading
	}
	r.err = err
	a.asked(r.asked, r.samples)
	return r
}
