package app

import (
	"context"
	"math"
	"time"

	"bainward/daemon/metrics"
	"bainward/daemon/site"
	"bainward/sensors"
)

// place is one place where bottles stand and a probe hangs, as the loop keeps it. It
// is no bath: of its readings only what an hour of them comes to is recorded.
type place struct {
	site.Place
	beside bool // it is read apart from the baths
	span   stretch
	// now is the last reading, corrected, for the metrics; under App.mu.
	now placeReading
	// asks is for who reads the wires alone.
	asks asking
}

// placeReading is a corrected temperature or the fault in its place.
type placeReading struct {
	celsius float64
	fault   sensors.Fault
	at      time.Duration
}

// gatherPlaces takes the places from the site file.
func (a *App) gatherPlaces() {
	for _, p := range a.opt.Site.Places {
		a.places = append(a.places, &place{Place: p, beside: a.opt.Site.Beside(p), now: placeReading{fault: sensors.Stale}})
	}
}

// placeOf returns the place that has a probe; nil if none has.
func (a *App) placeOf(probe sensors.Address) *place {
	for _, p := range a.places {
		if p.Probe == probe {
			return p
		}
	}
	return nil
}

// beginPlaces lets the spans of all places begin with a draft. What was measured
// after the last entry of the run before is lost, and is the gap between the two.
func (a *App) beginPlaces(d *draft) {
	for _, p := range a.places {
		d.then(func() { p.span = newStretch(d.at) })
	}
}

// measure takes what was read of places into their spans, and drafts the entry of
// each that has lasted for an hour, be there readings or not.
func (a *App) measure(d *draft, asked []*place, samples map[sensors.Address]sensors.Reading) {
	spans := make(map[*place]stretch, len(a.places))
	for _, p := range asked {
		s := p.span
		now := a.corrects(p, samples, d.at)
		switch {
		case a.calibrating.live() && a.calibrating.probe == p.Probe:
			s.fault(d.at, away)
			now.fault = sensors.NotFitted
		case now.fault != sensors.NoFault:
			s.fault(d.at, now.fault.Code())
			if a.metrics != nil {
				a.metrics.PlaceFault(string(p.Name), now.fault)
			}
		default:
			s.read(d.at, now.celsius)
		}
		spans[p] = s
		d.then(func() { p.now = now })
	}
	for _, p := range a.places {
		s, read := spans[p]
		if !read {
			s = p.span
		}
		if d.at-s.from >= placeSpan {
			s = d.keep(p, s)
		}
		d.then(func() { p.span = s })
	}
}

// corrects is what the probe of a place says, by the correction in force.
func (a *App) corrects(p *place, samples map[sensors.Address]sensors.Reading, at time.Duration) placeReading {
	r, ok := samples[p.Probe]
	if !ok {
		r = sensors.Failed(sensors.Absent)
	}
	now := placeReading{fault: r.Fault, at: at}
	if r.OK() {
		now.celsius = a.inForce(p.Probe).Celsius(r.Celsius())
	}
	return now
}

// cutPlaces drafts what was measured of every place up to now. Bottles that come or
// go then stood there for whole spans.
func (a *App) cutPlaces(d *draft) {
	for _, p := range a.places {
		s := d.keep(p, p.span)
		d.then(func() { p.span = s })
	}
}

// keep drafts the entry of a span and returns the next.
func (d *draft) keep(p *place, s stretch) stretch {
	body, next, ok := s.cut(d.at)
	if !ok {
		return s
	}
	body.Place, body.Probe, body.Warm = p.Name, p.Probe.String(), p.WarmC
	d.add("", body)
	return next
}

// takeBeside records what was read of places that are read apart.
func (a *App) takeBeside(ctx context.Context, r besides) {
	if r.err != nil {
		a.opt.Logger.Warn("read the probes of places", "error", r.err)
	}
	d := a.draft()
	a.measure(d, r.asked, r.samples)
	if err := a.commit(ctx, d); err != nil {
		a.opt.Logger.Error("record how warm a place is", "error", err)
	}
}

// placesNow is how the places are, for the metrics. What was read too long ago is
// not known any more.
func (a *App) placesNow() []metrics.Place {
	a.mu.RLock()
	defer a.mu.RUnlock()
	var all []metrics.Place
	for _, p := range a.places {
		one := metrics.Place{Name: string(p.Name), Celsius: math.NaN(), WarmC: p.WarmC}
		if p.now.fault == sensors.NoFault && a.uptimeOffset()-p.now.at <= placeStands {
			one.OK, one.Celsius = true, p.now.celsius
		}
		all = append(all, one)
	}
	return all
}
