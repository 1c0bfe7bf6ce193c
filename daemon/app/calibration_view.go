package app

import (
	"fmt"
	"time"

	"bainward/daemon/record"
	"bainward/dashboards"
	"bainward/rules"
	"bainward/rules/calibrate"
	"bainward/sensors"
)

// Probes says what is known of each probe, and how far a calibration has come.
func (a *App) Probes() dashboards.Probes {
	a.mu.RLock()
	defer a.mu.RUnlock()
	all := dashboards.Probes{Probes: []dashboards.Probe{}}
	for _, b := range a.baths {
		for role, address := range b.probes {
			if address != 0 {
				all.Probes = append(all.Probes, a.probe(b, sensors.Role(role), address))
			}
		}
	}
	for _, p := range a.places {
		all.Probes = append(all.Probes, a.placeProbe(p))
	}
	if c := a.calibrating; c != nil {
		all.Calibration = c.show()
	}
	return all
}

func (a *App) probe(b *bath, role sensors.Role, address sensors.Address) dashboards.Probe {
	c := a.inForce(address)
	p := a.calibratedProbe(address)
	p.Bath, p.Role, p.Lit = b.name, role.String(), b.state.Rules.Phase().Lit()
	p.U, p.Counts = c.Error(boils), b.counts(role, c)
	p.Boils = boilsOf(a.boiled[address])
	return p
}

// placeProbe is the probe of a place: its role is the place.
func (a *App) placeProbe(at *place) dashboards.Probe {
	p := a.calibratedProbe(at.Probe)
	p.Role, p.Counts = string(at.Name), true
	storage, _ := at.Name.Storage()
	p.U = a.inForce(at.Probe).Error(storage.Celsius())
	return p
}

// calibratedProbe is what is known of the calibration of a probe.
func (a *App) calibratedProbe(address sensors.Address) dashboards.Probe {
	c := a.inForce(address)
	p := dashboards.Probe{Address: address.String(), On: c.On}
	if _, ok := a.recorded(address); ok {
		kept := a.calibrated[address]
		p.Due, p.By = kept.Due, kept.By
	} else if on, err := time.Parse(time.DateOnly, c.On); err == nil {
		_, p.Due = record.Dates(on)
	}
	p.Overdue = dashboards.OverdueOn(p.Due, a.opt.Clock.Wall())
	return p
}

// counts reports whether the bath goes by a correction, be its probe away or not.
func (b *bath) counts(role sensors.Role, c rules.Correction) bool {
	if b.cfg == nil {
		return true
	}
	c.Away = b.cfg.Probes[role].Away
	return b.cfg.Probes[role] == c
}

// boils is where an uncalibrated probe's error is told, °C: it is asked about most at
// the boil.
const boils = 100

// show puts it down for people and programs.
func (c *calibrating) show() *dashboards.Calibration {
	s := &dashboards.Calibration{
		Probe: c.probe.String(), Step: c.step, Say: c.say(), Wait: c.wait, N: c.stand.N, Of: calibrate.Needed,
	}
	if c.reads.OK() && c.reads != (sensors.Reading{}) {
		reads := c.reads.Temperature.Celsius()
		s.Reads = &reads
	}
	s.Ice, s.Boil = c.ice.show(), c.boil.show()
	if s.Boil != nil {
		s.Boil.Pascal, s.Boil.Depth = c.boil.pascal, c.depth
	}
	if c.line != (calibrate.Line{}) {
		s.Result = c.result()
	}
	return s
}

func (t atPoint) show() *dashboards.CalibrationAt {
	if t.stand.N == 0 {
		return nil
	}
	return &dashboards.CalibrationAt{
		Reads: t.point.Reads, True: t.point.C, U: t.point.Own(), N: t.stand.N, Spread: t.stand.Spread,
	}
}

func (c *calibrating) result() *dashboards.Correction {
	more := func(reads float64) float64 { return c.line.Celsius(reads) - c.before.Celsius(reads) }
	return &dashboards.Correction{
		Gain: c.line.Gain, Offset: c.line.Offset, U: c.line.Most(),
		AtIce: more(c.ice.point.Reads), AtBoil: more(c.boil.point.Reads),
		Before: c.before.On, BeforeU: errorOf(c.before),
	}
}

func errorOf(c rules.Correction) float64 { return c.Error(boils) }

// say tells what a person does now.
func (c *calibrating) say() string {
	switch c.step {
	case dashboards.CalibrationIce:
		return "Put it into melting ice: crushed ice with just enough water to fill the gaps, stirred, the probe in the middle and off the sides. Leave it there until the ice point is taken."
	case dashboards.CalibrationMove:
		return "The ice point is taken. Now into plain water at a rolling boil, off the bottom and the sides: say how deep the tip hangs below the surface."
	case dashboards.CalibrationBoil:
		return fmt.Sprintf("Keep it %.0f cm below the surface, at a rolling boil, until the boiling point is taken.", c.depth*100)
	case dashboards.CalibrationResult:
		return "Both points are taken. Compare, and keep it or not. The probe is hot, and so is the pot."
	}
	return "The calibration has ended: " + c.over + "."
}
