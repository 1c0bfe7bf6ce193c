package main

import (
	"context"
	"errors"
	"fmt"
	"sync"

	"bainward/sensors"
)

// joined makes several wires one sensors.Source. An address is read on the wire
// that the site file pins it to, else on the one where it answered last, else
// on all: a probe that is moved from wire to wire is found again, and one that
// is missing costs one scratchpad a wire.
type joined struct {
	wires  []namedSource
	pinned map[sensors.Address]int // index into wires

	mu     sync.Mutex
	routes map[sensors.Address]int
}

// namedSource is a wire with what people call it.
type namedSource struct {
	name string
	sensors.Source
}

// anyWire stands for an address whose wire is not known.
const anyWire = -1

// Probes searches all wires at once. An error names the wires that could not
// be searched; the addresses found on the others are returned with it.
func (j *joined) Probes(ctx context.Context) ([]sensors.Address, error) {
	found := make([][]sensors.Address, len(j.wires))
	err := j.each(func(i int, w namedSource) (err error) {
		found[i], err = w.Probes(ctx)
		return err
	})
	j.mu.Lock()
	defer j.mu.Unlock()
	var all []sensors.Address
	for i, addresses := range found {
		for _, a := range addresses {
			if wire, pinned := j.pinned[a]; pinned && wire != i {
				continue // not where the site file says it is
			}
			j.routes[a] = i
			all = append(all, a)
		}
	}
	return all, err
}

// Read reads all wires at once, so that it takes as long as the slowest.
func (j *joined) Read(ctx context.Context, addresses []sensors.Address) ([]sensors.Sample, error) {
	wireOf := j.route(addresses)
	answers := make([]map[sensors.Address]sensors.Sample, len(j.wires))
	err := j.each(func(i int, w namedSource) error {
		var asked []sensors.Address
		for k, a := range addresses {
			if wireOf[k] == i || wireOf[k] == anyWire {
				asked = append(asked, a)
			}
		}
		if len(asked) == 0 {
			return nil
		}
		samples, err := w.Read(ctx, asked)
		answers[i] = make(map[sensors.Address]sensors.Sample, len(samples))
		for _, s := range samples {
			answers[i][s.Address] = s
		}
		return err
	})
	samples := make([]sensors.Sample, len(addresses))
	for k, a := range addresses {
		samples[k] = j.choose(a, answers)
	}
	return samples, err
}

// route says for each address which wire is to be asked.
func (j *joined) route(addresses []sensors.Address) []int {
	j.mu.Lock()
	defer j.mu.Unlock()
	wires := make([]int, len(addresses))
	for k, a := range addresses {
		wires[k] = anyWire
		if i, ok := j.pinned[a]; ok {
			wires[k] = i
		} else if i, ok := j.routes[a]; ok {
			wires[k] = i
		}
	}
	return wires
}

// choose takes the best answer to a and remembers where it came from. An
// address that nobody answers loses its route and is asked everywhere next time.
func (j *joined) choose(a sensors.Address, answers []map[sensors.Address]sensors.Sample) sensors.Sample {
	best, wire := sensors.Sample{Address: a, Reading: sensors.Failed(sensors.Absent)}, anyWire
	for i, answer := range answers {
		s, asked := answer[a]
		if asked && (wire == anyWire || presence(s) > presence(best)) {
			best, wire = s, i
		}
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	if presence(best) > silent {
		j.routes[a] = wire
	} else {
		delete(j.routes, a)
	}
	return best
}

// How surely an answer shows that the probe is on that wire.
const (
	silent  = iota // as a wire looks without the probe
	damaged        // something was there
	sound
)

func presence(s sensors.Sample) int {
	switch s.Reading.Fault {
	case sensors.NoFault:
		return sound
	case sensors.Absent, sensors.AllOnes, sensors.AllZero:
		return silent
	}
	return damaged
}

// Close closes all wires.
func (j *joined) Close() error {
	return j.each(func(_ int, w namedSource) error { return w.Close() })
}

// each does what for all wires at once and joins the errors, each with the name
// of its wire.
func (j *joined) each(what func(i int, w namedSource) error) error {
	failed := make([]error, len(j.wires))
	var wait sync.WaitGroup
	for i, w := range j.wires {
		wait.Go(func() {
			if err := what(i, w); err != nil {
				failed[i] = fmt.Errorf("%s: %w", w.name, err)
			}
		})
	}
	wait.Wait()
	return errors.Join(failed...)
}
