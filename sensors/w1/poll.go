package w1

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"

	"bainward/sensors"
)

// Read converts on all probes and reads those asked for: see sensors.Source.
//
// It returns an error, besides the faults in the samples, if the root cannot be
// listed (ErrNoDriver if it is missing), or if ctx ended before any probe
// answered. Each sample is Absent then.
func (w *Wire) Read(ctx context.Context, addresses []sensors.Address) ([]sensors.Sample, error) {
	samples := make([]sensors.Sample, len(addresses))
	for i, a := range addresses {
		samples[i] = sensors.Sample{Address: a, Reading: sensors.Failed(sensors.Absent)}
	}
	select {
	case w.turn <- struct{}{}:
		defer func() { <-w.turn }()
	case <-ctx.Done():
		return samples, fmt.Errorf("read probes: wait for the poll before: %w", ctx.Err())
	}
	t, err := look(w.root)
	if err != nil {
		return samples, err
	}
	answers := w.askAll(ctx, t, addresses)
	for i, a := range addresses {
		samples[i] = w.judge(a, answers[a])
		if !errors.Is(ctx.Err(), context.Canceled) { // else they did not fail: nobody waited
			w.note(samples[i])
		}
	}
	if err := ctx.Err(); err != nil && len(answers) == 0 {
		return samples, fmt.Errorf("read probes under %q: %w", w.root, err)
	}
	return samples, nil
}

// askAll converts on each line and reads its probes; a line that hangs holds up
// no other. It returns the answers that came before ctx ended.
func (w *Wire) askAll(ctx context.Context, t tree, addresses []sensors.Address) map[sensors.Address]answer {
	answers := map[sensors.Address]answer{}
	var mu sync.Mutex // of answers
	var all sync.WaitGroup
	for name, line := range w.byLine(t, addresses) {
		m := w.master(name)
		probes := make([]*probe, len(line))
		for i, a := range line {
			probes[i] = w.probe(a)
		}
		all.Go(func() {
			if name != "" {
				w.convert(ctx, name, m)
			}
			for i, a := range line {
				all.Go(func() {
					if said, ok := w.ask(ctx, a, probes[i]); ok {
						mu.Lock()
						defer mu.Unlock()
						answers[a] = said
					}
				})
			}
		})
	}
	all.Wait()
	return answers
}

// byLine returns the addresses, each once, by the folder name of their line.
func (w *Wire) byLine(t tree, addresses []sensors.Address) map[string][]sensors.Address {
	lines := map[string][]sensors.Address{}
	for _, a := range addresses {
		if name := t.masterOf(w.root, a); !slices.Contains(lines[name], a) {
			lines[name] = append(lines[name], a)
		}
	}
	return lines
}

// note logs a fault that came or went.
func (w *Wire) note(s sensors.Sample) {
	p := w.probe(s.Address)
	if was, is := p.fault, s.Reading.Fault; is != was {
		p.fault = is
		w.log.Info("probe changed", "address", s.Address, "was", was, "is", is)
	}
}

// master returns what is remembered of a line.
func (w *Wire) master(name string) *master {
	if w.masters[name] == nil {
		w.masters[name] = &master{}
	}
	return w.masters[name]
}

// probe returns what is remembered of an address.
func (w *Wire) probe(a sensors.Address) *probe {
	if w.probes[a] == nil {
		w.probes[a] = &probe{}
	}
	return w.probes[a]
}
