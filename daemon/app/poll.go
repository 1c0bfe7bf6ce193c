package app

import (
	"context"
	"time"

	"bainward/sensors"
)

// poll is what one reading of all wires gave.
type poll struct {
	samples  map[sensors.Address]sensors.Reading
	places   []*place // that were asked, too
	pressure sensors.Pressure
	took     time.Duration
	err      error // of the wire as a whole; the samples are faults then
}

// giveUp is how long a poll may take. A wire that hangs longer is reported
// silent by the loop, and read again when it comes back.
const giveUp = 5 * time.Second

// keepPolling reads the probes every so often and hands each poll to the loop.
// It runs beside the loop, so that a slow wire delays nobody.
func (a *App) keepPolling(ctx context.Context, out chan<- poll) {
	keepReading(ctx, a.opt.Every, out, func() (poll, bool) { return a.readAll(ctx), true })
}

// keepReading reads at once and then every so often, until ctx ends, and hands on
// what there was. A reader that takes longer is not asked twice for it.
func keepReading[T any](ctx context.Context, every time.Duration, out chan<- T, read func() (T, bool)) {
	tick := time.NewTicker(every)
	defer tick.Stop()
	for {
		if r, ok := read(); ok {
			select {
			case out <- r:
			case <-ctx.Done():
				return
			}
		}
		select {
		case <-tick.C:
		case <-ctx.Done():
			return
		}
	}
}

func (a *App) readAll(ctx context.Context) poll {
	if a.opt.Before != nil {
		a.opt.Before(a.uptimeOffset())
	}
	ctx, cancel := context.WithTimeout(ctx, giveUp)
	defer cancel()
	began := time.Now()
	p := poll{samples: make(map[sensors.Address]sensors.Reading, len(a.addresses)), places: a.placesToRead(false)}
	samples, err := a.opt.Source.Read(ctx, a.readWith(p.places))
	p.err = err
	for _, s := range samples {
		p.samples[s.Address] = s.Reading
	}
	a.asked(p.places, p.samples)
	p.pressure = a.opt.Barometer.Pressure(ctx)
	p.took = time.Since(began)
	return p
}

// frameOf puts a bath's share of a poll together.
func (b *bath) frameOf(p poll, at time.Duration, wall time.Time) sensors.Frame {
	f := sensors.Frame{At: at, Wall: wall, Pressure: p.pressure}
	for role, address := range b.probes {
		r, ok := p.samples[address]
		switch {
		case address == 0:
			r = sensors.Failed(sensors.NotFitted)
		case !ok:
			r = sensors.Failed(sensors.Absent)
		}
		f.Probes[role] = r
	}
	return f
}
