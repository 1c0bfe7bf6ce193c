package app

import (
	"context"

	"bainward/daemon/record"
	"bainward/dashboards"
	"bainward/sensors"
)

// cutOffByRestart is how a calibration ended that a restart fell into: its readings are in
// the record, but nobody knows where the probe was meanwhile.
const cutOffByRestart = "it was cut off by a restart: nothing came of it; begin again, with fresh ice"

// step drafts a step of a calibration.
func (d *draft) step(b record.Calibrating) { d.add("", b) }

// endAsAsked ends it as a person wished, who is in the record for it.
func (c *calibrating) endAsAsked(why string) {
	c.end(why)
	c.told = true
}

// calibratingInWords says on one line what matters to who looks at the bath: that its
// probe is out, and that it is not any more. What was kept has a line of its own.
func calibratingInWords(b record.Calibrating) string {
	switch b.Step {
	case "started":
		return "probe " + b.Probe + " taken out to be calibrated (" + b.By + ")"
	case "cancelled":
		return "calibration of probe " + b.Probe + " cancelled (" + b.By + ")"
	case "ended":
		return "calibration of probe " + b.Probe + " ended: " + b.Why
	}
	return ""
}

// endedByItself drafts that a calibration ended without anybody asking for it.
func (a *App) endedByItself(d *draft) {
	c := a.calibrating
	if c == nil || c.live() || c.told {
		return
	}
	d.step(record.Calibrating{Probe: c.probe.String(), Step: "ended", Why: c.over})
	d.then(func() { c.told = true })
}

// openCalibrating finds a calibration that was going on when the record ends.
func (a *App) openCalibrating(ctx context.Context) error {
	entries, err := a.record.OfKind(ctx, record.KindCalibrating)
	if err != nil || len(entries) == 0 {
		return err
	}
	var last record.Calibrating
	if err := entries[len(entries)-1].Decode(&last); err != nil || last.Over() {
		return err
	}
	probe, err := sensors.ParseAddress(last.Probe)
	if err != nil {
		return err
	}
	a.calibrating = &calibrating{probe: probe, step: dashboards.CalibrationOver, over: cutOffByRestart}
	return nil
}
