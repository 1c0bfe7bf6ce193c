package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"slices"
	"strings"

	"bainward/daemon/site"
	"bainward/sensors"
	"bainward/sensors/bridge"
	"bainward/sensors/w1"
)

// openWires opens the wires that the site names as one Source. root, if given,
// stands in for the folder of its one kernel wire. Of several wires, either all
// are open or none is.
func openWires(s *site.Site, root string, log *slog.Logger) (sensors.Source, error) {
	wires, err := withRoot(s, root)
	if err != nil {
		return nil, err
	}
	j := &joined{pinned: pins(s, wires), routes: map[sensors.Address]int{}}
	for _, w := range wires {
		source, err := openWire(w, log)
		if err != nil {
			return nil, errors.Join(fmt.Errorf("open %s: %w", w, err), j.Close())
		}
		j.wires = append(j.wires, namedSource{w.String(), source})
	}
	if len(j.wires) == 1 {
		return j.wires[0].Source, nil
	}
	return j, nil
}

func openWire(w site.Wire, log *slog.Logger) (sensors.Source, error) {
	if w.Kind == site.BridgeWire {
		return bridge.OpenHost(w.Bus, w.Address, bridge.Options{Channel: w.Channel, Logger: log})
	}
	return w1.Open(w1.Options{Root: w.Root, Logger: log})
}

// withRoot puts root in the place of the one kernel wire's folder.
func withRoot(s *site.Site, root string) ([]site.Wire, error) {
	if root == "" {
		return s.Wires, nil
	}
	wires, replaced := slices.Clone(s.Wires), 0
	for i, w := range wires {
		if w.Kind == site.KernelWire {
			wires[i].Root = root
			replaced++
		}
	}
	if replaced != 1 {
		return nil, fmt.Errorf("put root %q in place of the kernel wire: %s has %d kernel wires, want one", root, s.File, replaced)
	}
	return wires, nil
}

// pins lists the probes that the site file ties to one of its wires.
func pins(s *site.Site, wires []site.Wire) map[sensors.Address]int {
	pinned := map[sensors.Address]int{}
	for _, p := range s.Probes() {
		if p.Wire != "" {
			pinned[p.Address] = slices.IndexFunc(wires, func(w site.Wire) bool { return w.Name == p.Wire })
		}
	}
	return pinned
}

// checkProbes searches the wires and returns an error if a probe that the site
// names did not answer: it lists those, and those that did.
func checkProbes(ctx context.Context, source sensors.Source, s *site.Site) error {
	found, err := source.Probes(ctx)
	if err != nil {
		return fmt.Errorf("search for probes: %w", err)
	}
	var missing []string
	for _, p := range s.Probes() {
		if !slices.Contains(found, p.Address) {
			missing = append(missing, fmt.Sprintf("%s (%s)", p.Address, useOf(p)))
		}
	}
	if len(missing) == 0 {
		return nil
	}
	return fmt.Errorf("find the probes that %s names: no answer from %s; %s: check the wiring, or correct the site file",
		s.File, strings.Join(missing, ", "), answered(found))
}

// useOf says what a probe is for, for people who look for it.
func useOf(p site.Probe) string {
	if p.Place != "" {
		return fmt.Sprintf("of the place %s", p.Place)
	}
	return fmt.Sprintf("%s of bath %s", p.Role, p.Bath)
}

func answered(found []sensors.Address) string {
	if len(found) == 0 {
		return "no probe answered at all"
	}
	words := make([]string, len(found))
	for i, a := range found {
		words[i] = a.String()
	}
	return "those that answered: " + strings.Join(words, ", ")
}
