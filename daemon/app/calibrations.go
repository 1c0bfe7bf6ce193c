package app

import (
	"context"
	"fmt"
	"slices"

	"bainward/daemon/record"
	"bainward/rules"
	"bainward/sensors"
)

// A calibration that was kept is a fact of the probe. What the rules go by is the
// config of the bath that has it, so the correction is written into that as well:
// at once where no batch is open, else when the batch has been closed, so that no
// batch is judged by two of them. Raw readings stay as they are either way.

// calibrations are the newest of each probe, as the record has them.
type calibrations map[sensors.Address]record.Calibration

// openCalibrations reads them back.
func (a *App) openCalibrations(ctx context.Context) error {
	entries, err := a.record.OfKind(ctx, record.KindCalibration)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if err := a.keepCalibration(e); err != nil {
			return fmt.Errorf("entry %d: %w", e.Seq, err)
		}
	}
	return nil
}

// keepCalibration takes a recorded entry in; most are none.
func (a *App) keepCalibration(e record.Entry) error {
	if e.Kind != record.KindCalibration {
		return nil
	}
	var c record.Calibration
	if err := e.Decode(&c); err != nil {
		return err
	}
	address, err := c.Address()
	if err != nil {
		return err
	}
	if a.calibrated == nil {
		a.calibrated = calibrations{}
	}
	a.calibrated[address] = c
	return nil
}

// correctionOf is what the rules take from a calibration.
func correctionOf(c record.Calibration) rules.Correction {
	return rules.Correction{
		Fitted: true, Gain: c.Gain, Offset: c.Offset, Uncertainty: c.U, On: c.On, Address: c.Probe,
		IceReads: c.Ice.Reads, BoilReads: c.Boil.Reads, BoilTrue: c.Boil.True, Due: c.Due,
	}
}

// siteCorrection is what the site file says of a probe: with an empty On, nothing.
func (a *App) siteCorrection(address sensors.Address) rules.Correction {
	for _, c := range a.opt.Site.Calibrations {
		if c.Address == address {
			return c.Correction
		}
	}
	return rules.Correction{Fitted: true, Address: address.String()}
}

// recorded is the correction of a probe that the record has, if the site file has no
// newer one; of one day the record counts.
func (a *App) recorded(address sensors.Address) (c rules.Correction, ok bool) {
	kept, ok := a.calibrated[address]
	return correctionOf(kept), ok && kept.On >= a.siteCorrection(address).On
}

// inForce is the correction by which a probe is to be read from its next batch on.
func (a *App) inForce(address sensors.Address) rules.Correction {
	if c, ok := a.recorded(address); ok {
		return c
	}
	return a.siteCorrection(address)
}

// corrected puts the recorded corrections into a config for a bath. While a batch is
// open there, its own stay.
func (a *App) corrected(b *bath, cfg rules.Config) rules.Config {
	for role, address := range b.probes {
		c, ok := a.recorded(address)
		switch {
		case address == 0 || !ok:
		case b.batch == "":
			cfg.Probes[role] = c
		case b.cfg != nil && b.cfg.Probes[role].Address == address.String():
			cfg.Probes[role] = b.cfg.Probes[role]
		}
	}
	return cfg
}

// recalibrate drafts the config with what was calibrated since, if no batch is open
// at the bath and the draft opens none, and with the probe away that is being
// calibrated.
func (d *draft) recalibrate(a *App, b *bath, batch string) {
	opens := func(e record.Entry) bool { return e.Bath == b.name && e.Kind == record.KindBatch }
	d.correct(a, b, batch == "" && !slices.ContainsFunc(d.entries, opens), a.takenOut())
}

// correct drafts the config of a bath if it changes: anew says that corrections may,
// out is the probe that is away.
func (d *draft) correct(a *App, b *bath, anew bool, out sensors.Address) {
	if b.cfg == nil {
		return
	}
	cfg := *b.cfg
	if anew {
		cfg, _ = a.recalibrated(b)
	}
	for role, address := range b.probes {
		cfg.Probes[role].Away = address != 0 && address == out
	}
	if cfg == *b.cfg {
		return
	}
	d.add(b.name, record.Config{Config: cfg})
	d.then(func() { b.cfg = &cfg })
}

// recalibrated is the config of a bath with the recorded corrections; pending tells
// that they are not in it yet.
func (a *App) recalibrated(b *bath) (cfg rules.Config, pending bool) {
	if b.cfg == nil {
		return cfg, false
	}
	cfg = *b.cfg
	for role, address := range b.probes {
		if c, ok := a.recorded(address); ok && address != 0 {
			c.Away = cfg.Probes[role].Away
			cfg.Probes[role] = c
		}
	}
	return cfg, cfg != *b.cfg
}

// recalibrateFor lets a batch begin with the newest corrections. One that is over but
// not closed yet, so that slips can be taken back, is closed for it: what was judged
// by one correction must not be taken back into another. It is a commit of its own,
// at the instant of d, for the event itself is judged by the new config.
func (a *App) recalibrateFor(ctx context.Context, d *draft, b *bath, e rules.Event) error {
	if _, pending := a.recalibrated(b); !pending || b.state.Rules.Begun() || e.Kind == rules.Note {
		return nil
	}
	first := &draft{at: d.at, wall: d.wall}
	state, batch := b.state, b.batch
	first.close(b, &state, &batch)
	first.correct(a, b, true, a.takenOut())
	first.then(func() { b.batch = batch })
	if err := a.commit(ctx, first); err != nil {
		return fmt.Errorf("put the calibration of its probes into the bath's config: %w", err)
	}
	return nil
}

// calibrationInWords says a calibration on one line.
func calibrationInWords(b record.Calibration) string {
	return fmt.Sprintf("probe %s calibrated: ice read as %.2f °C, water boiling at %.2f °C as %.2f °C; known to ±%.2f K from now on; due again on %s (%s)",
		b.Probe, b.Ice.Reads, b.Boil.True, b.Boil.Reads, b.U, b.Due, b.By)
}
