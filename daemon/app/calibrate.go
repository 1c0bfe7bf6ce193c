package app

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"bainward/daemon/record"
	"bainward/dashboards"
	"bainward/rules/calibrate"
	"bainward/sensors"
)

// StartCalibration begins to lead through the calibration of a probe; only one is
// calibrated at a time. From then on the probe counts as taken out of its bath.
func (a *App) StartCalibration(ctx context.Context, probe sensors.Address, who string) error {
	return a.ask(ctx, "", func(_ context.Context, d *draft, _ *bath) error {
		if !slices.Contains(a.addresses, probe) && a.placeOf(probe) == nil {
			return fmt.Errorf("probe %s: no bath of this site has it, and no place", probe)
		}
		if c := a.calibrating; c.live() {
			return fmt.Errorf("probe %s is being calibrated: one at a time; keep or cancel that first", c.probe)
		}
		if lit := a.litWith(probe); lit != "" {
			return fmt.Errorf("bath %s is lit, and needs its probe: calibrate it before or after the batch", lit)
		}
		if !a.barometer {
			return calibrate.NoBarometer(a.opt.Site.ElevationM)
		}
		c := &calibrating{probe: probe, began: d.at, step: dashboards.CalibrationIce, before: a.inForce(probe)}
		c.wait = c.window.Stand().Why
		for _, b := range a.baths {
			d.correct(a, b, false, probe)
		}
		d.step(record.Calibrating{Probe: probe.String(), Step: "started", By: orSomebody(who)})
		d.then(func() { a.calibrating = c })
		return nil
	})
}

// NextCalibration goes on from the ice to the boil, the probe depth metres below the
// surface of the water.
func (a *App) NextCalibration(ctx context.Context, probe sensors.Address, depth float64, who string) error {
	return a.calibration(ctx, probe, func(d *draft, c *calibrating) error {
		switch {
		case c.step == dashboards.CalibrationIce:
			return fmt.Errorf("the ice point is not taken yet: %s", c.wait)
		case c.step != dashboards.CalibrationMove:
			return errors.New("both points are under way or taken: nothing is next but to keep or to cancel")
		case !(depth >= 0 && depth <= calibrate.MaxDepth):
			return fmt.Errorf("%.0f cm below the surface: want 0 to %.0f cm", depth*100, calibrate.MaxDepth*100)
		case !a.barometer:
			return calibrate.NoBarometer(a.opt.Site.ElevationM)
		}
		d.step(record.Calibrating{Probe: probe.String(), Step: "boil", By: orSomebody(who), Depth: depth})
		d.then(func() {
			c.depth, c.step, c.window = depth, dashboards.CalibrationBoil, calibrate.Window{}
			c.stand = c.window.Stand()
			c.wait = c.stand.Why
		})
		return nil
	})
}

// KeepCalibration records the result. It counts at once where no batch is open.
func (a *App) KeepCalibration(ctx context.Context, probe sensors.Address, who string) error {
	if who == "" {
		return errNobody
	}
	err := a.calibration(ctx, probe, func(d *draft, c *calibrating) error {
		body, err := c.body(d.wall, who)
		if err != nil {
			return err
		}
		d.add("", body)
		d.step(record.Calibrating{Probe: probe.String(), Step: "kept", By: who})
		d.then(func() { c.endAsAsked("kept; it is due again on " + body.Due) })
		return nil
	})
	if err != nil {
		return err
	}
	// The record has it now, and so the configs may follow.
	return a.ask(ctx, "", func(_ context.Context, d *draft, _ *bath) error {
		for _, b := range a.baths {
			d.recalibrate(a, b, b.batch)
		}
		return nil
	})
}

// CancelCalibration ends it and keeps nothing.
func (a *App) CancelCalibration(ctx context.Context, probe sensors.Address, who string) error {
	return a.calibration(ctx, probe, func(d *draft, c *calibrating) error {
		d.step(record.Calibrating{Probe: probe.String(), Step: "cancelled", By: orSomebody(who)})
		d.then(func() { c.endAsAsked("cancelled; the correction stays as it was") })
		return nil
	})
}

// calibration does something with the calibration of a probe that is going on.
func (a *App) calibration(ctx context.Context, probe sensors.Address, do func(*draft, *calibrating) error) error {
	return a.ask(ctx, "", func(_ context.Context, d *draft, _ *bath) error {
		if c := a.calibrating; c.live() && c.probe == probe {
			return do(d, c)
		}
		return fmt.Errorf("probe %s is not being calibrated: start it first", probe)
	})
}

// litWith names a lit bath that has the probe; empty: none.
func (a *App) litWith(probe sensors.Address) string {
	for _, b := range a.baths {
		if slices.Contains(b.probes[:], probe) && b.state.Rules.Phase().Lit() {
			return b.name
		}
	}
	return ""
}

// takenOut is the probe that is not in its bath because it is being calibrated; 0:
// none. Its raw readings go into the record as ever, so that whoever doubts a
// calibration can take its means again; but the config says that it is away, for ice
// and boiling water must not look like a bath that cools or is lit.
func (a *App) takenOut() sensors.Address {
	if c := a.calibrating; c.live() && a.litWith(c.probe) == "" {
		return c.probe
	}
	return 0
}

// calibrateBy lets a poll count for the calibration that is going on.
func (a *App) calibrateBy(d *draft, p poll) {
	c := a.calibrating
	if !c.live() {
		a.endedByItself(d)
		return
	}
	if lit := a.litWith(c.probe); lit != "" {
		d.then(func() {
			c.end("bath " + lit + " was lit, and needs its probe: put it back; begin again after the batch")
		})
		return
	}
	r, ok := p.samples[c.probe]
	if !ok {
		r = sensors.Failed(sensors.Absent)
	}
	d.then(func() { c.frame(d.at, d.wall, r, p.pressure) })
}
