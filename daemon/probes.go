package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"bainward/daemon/site"
	"bainward/sensors"
)

type probesCommand struct {
	Site      string        `help:"Read the wires of this site file, and tell what each probe is used for." placeholder:"FILE" xor:"site-bridge,site-write"`
	Root      string        `help:"Folder of the kernel's 1-Wire devices, in place of the usual one." placeholder:"DIR" xor:"root-bridge"`
	Bridge    string        `help:"Read through a DS248x bridge on this I²C bus, such as 1." placeholder:"BUS" xor:"site-bridge,root-bridge"`
	Address   uint16        `help:"I²C address of the bridge." default:"0x18"`
	JSON      bool          `help:"Print JSON Lines, one object a probe." xor:"json-write"`
	WriteSite string        `help:"Start a site file with the probes found. A file that exists is never overwritten." placeholder:"FILE" xor:"site-write,json-write,every-write"`
	Every     time.Duration `help:"Repeat after this time until interrupted, such as 2s." placeholder:"D" xor:"every-write"`
}

// Validate refuses what kong's own checks cannot.
func (c *probesCommand) Validate() error {
	if c.Every < 0 {
		return fmt.Errorf("--every=%s goes back in time", c.Every)
	}
	return nil
}

// Run reads every probe once, or again and again until ctx ends.
func (c *probesCommand) Run(ctx context.Context, out io.Writer, log *slog.Logger) error {
	s, err := c.where()
	if err != nil {
		return err
	}
	source, err := openWires(s, c.Root, nil) // faults are in the table
	if err != nil {
		return err
	}
	defer source.Close()
	switch {
	case c.WriteSite != "":
		return c.start(ctx, s, source, out)
	case c.Every > 0:
		return repeat(ctx, c.Every, func() {
			// The hand at the wiring waits for the next line: go on.
			if err := c.once(ctx, s, source, out); err != nil && ctx.Err() == nil {
				log.Error(err.Error())
			}
		})
	}
	return c.once(ctx, s, source, out)
}

// where returns the site whose wires are to be read; without a site file it
// has no baths.
func (c *probesCommand) where() (*site.Site, error) {
	switch {
	case c.Site != "":
		return site.Load(c.Site)
	case c.Bridge != "":
		return &site.Site{Wires: []site.Wire{{Kind: site.BridgeWire, Bus: c.Bridge, Address: c.Address}}}, nil
	}
	return &site.Site{Wires: []site.Wire{{Kind: site.KernelWire, Root: c.Root}}}, nil
}

// once reads and prints all probes.
func (c *probesCommand) once(ctx context.Context, s *site.Site, source sensors.Source, out io.Writer) error {
	samples, err := readAll(ctx, s, source)
	if len(samples) == 0 {
		return err
	}
	write := writeTable
	if c.JSON {
		write = writeLines
	}
	return errors.Join(write(out, s, samples, time.Now()), err)
}

// readAll reads the probes that answer a search and those that s names. Its
// error says why there are none, or which wire failed.
func readAll(ctx context.Context, s *site.Site, source sensors.Source) ([]sensors.Sample, error) {
	addresses, err := source.Probes(ctx)
	for _, p := range s.Probes() {
		if !slices.Contains(addresses, p.Address) {
			addresses = append(addresses, p.Address)
		}
	}
	if len(addresses) == 0 {
		if err != nil {
			return nil, fmt.Errorf("search for probes: %w", err)
		}
		return nil, fmt.Errorf("search for probes: none answered on %s: check supply, ground and data wire, the pull-up resistor, and that 1-Wire is switched on", wireNames(s))
	}
	samples, err := source.Read(ctx, addresses)
	if err != nil {
		return samples, fmt.Errorf("read probes: %w", err)
	}
	return samples, nil
}

func wireNames(s *site.Site) string {
	names := make([]string, len(s.Wires))
	for i, w := range s.Wires {
		names[i] = w.String()
	}
	return strings.Join(names, " and ")
}

// start writes a first site file around the probes found.
func (c *probesCommand) start(ctx context.Context, s *site.Site, source sensors.Source, out io.Writer) error {
	samples, err := readAll(ctx, s, source)
	if err != nil {
		return err
	}
	wire := s.Wires[0]
	if wire.Root != "" { // the file will be read from another folder
		if wire.Root, err = filepath.Abs(wire.Root); err != nil {
			return fmt.Errorf("start a site file: %w", err)
		}
	}
	text, err := site.Starter(samples, wire)
	if err != nil {
		return err
	}
	if err := writeNew(c.WriteSite, text); err != nil {
		return err
	}
	if err := writeTable(out, s, samples, time.Now()); err != nil {
		return err
	}
	_, err = fmt.Fprintf(out, "\nwrote %s: change what is marked CHANGE, then run bainward check-site %s\n", c.WriteSite, c.WriteSite)
	return err
}

// repeat does what at once and then every d until ctx ends, which is no error.
func repeat(ctx context.Context, d time.Duration, what func()) error {
	ticks := time.NewTicker(d)
	defer ticks.Stop()
	for ctx.Err() == nil {
		what()
		select {
		case <-ctx.Done():
		case <-ticks.C:
		}
	}
	return nil
}
