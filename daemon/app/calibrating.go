package app

import (
	"errors"
	"fmt"
	"math"
	"time"

	"bainward/daemon/record"
	"bainward/dashboards"
	"bainward/rules"
	"bainward/rules/calibrate"
	"bainward/sensors"
)

// calibrating is one probe being calibrated. It lives in memory: after a restart the
// person is told to begin again, and nothing counts before it is kept.
type calibrating struct {
	probe  sensors.Address
	began  time.Duration
	step   dashboards.CalibrationStep
	window calibrate.Window
	stand  calibrate.Stand
	reads  sensors.Reading // the last
	wait   string          // why nothing is taken yet
	depth  float64         // m, of the probe in the boiling water
	ice    atPoint
	boil   atPoint
	line   calibrate.Line
	before rules.Correction
	over   string // how it ended
	told   bool   // the record says that it ended
}

// atPoint is a point that was taken.
type atPoint struct {
	point  calibrate.Point
	stand  calibrate.Stand
	wall   time.Time
	pascal int32
}

const (
	// calibrateWithin: ice has melted by then (own choice, no source).
	calibrateWithin = time.Hour
	// notIce and notBoil are how far from a point readings are that somebody cannot
	// have meant, K. A bad probe is told from them by calibrate.MaxCorrection.
	notIce, notBoil = 2.5, 5.0
)

// live reports whether a calibration is going on; c may be nil.
func (c *calibrating) live() bool { return c != nil && c.step != dashboards.CalibrationOver }

// end ends it for a reason.
func (c *calibrating) end(why string) { c.step, c.over, c.wait = dashboards.CalibrationOver, why, "" }

// frame takes what the probe says at an instant.
func (c *calibrating) frame(at time.Duration, wall time.Time, r sensors.Reading, air sensors.Pressure) {
	if at-c.began > calibrateWithin {
		c.end("an hour has passed, and the ice has melted by now: begin again with fresh ice")
		return
	}
	c.reads = r
	if c.step != dashboards.CalibrationIce && c.step != dashboards.CalibrationBoil {
		return
	}
	c.window.Add(at, r)
	c.stand = c.window.Stand()
	c.wait = c.stand.Why
	if !c.stand.Steady() {
		return
	}
	if c.step == dashboards.CalibrationIce {
		c.takeIce(wall)
		return
	}
	c.takeBoil(wall, air)
}

func (c *calibrating) takeIce(wall time.Time) {
	truth := calibrate.Ice()
	if far := c.stand.Mean - truth.C; math.Abs(far) > notIce {
		c.wait = fmt.Sprintf("it reads %.1f °C, and that is not ice water: crushed ice with just enough water to fill the gaps, stirred, the probe in the middle", c.stand.Mean)
		return
	}
	c.ice = c.take(truth, wall)
	if c.bad(c.ice) {
		return
	}
	c.step, c.wait, c.window = dashboards.CalibrationMove, "", calibrate.Window{}
}

func (c *calibrating) takeBoil(wall time.Time, air sensors.Pressure) {
	if !air.OK() {
		c.wait = "the barometer does not answer, and without it nobody knows where water boils today: look at its wires"
		return
	}
	truth, err := calibrate.Boil(float64(air.Pascal), c.depth)
	if err != nil {
		c.wait = err.Error()
		return
	}
	if far := c.stand.Mean - truth.C; math.Abs(far) > notBoil {
		c.wait = fmt.Sprintf("it reads %.1f °C, and water boils at %.2f °C: that is not a rolling boil", c.stand.Mean, truth.C)
		return
	}
	c.boil = c.take(truth, wall)
	c.boil.pascal = air.Pascal
	if c.bad(c.boil) {
		return
	}
	if c.line, err = calibrate.Fit(c.ice.point, c.boil.point); err != nil {
		c.end(err.Error())
		return
	}
	c.step, c.wait = dashboards.CalibrationResult, ""
}

func (c *calibrating) take(truth calibrate.Truth, wall time.Time) atPoint {
	return atPoint{
		point: calibrate.Point{Reads: c.stand.Mean, ReadsU: c.stand.Uncertainty(), Truth: truth},
		stand: c.stand, wall: wall,
	}
}

// bad ends it if the probe is past correcting.
func (c *calibrating) bad(t atPoint) bool {
	off := t.point.Reads - t.point.C
	if math.Abs(off) <= calibrate.MaxCorrection {
		return false
	}
	c.end(fmt.Sprintf("it reads %.2f °C where it is %.2f °C: %v", t.point.Reads, t.point.C, calibrate.ErrBad))
	return true
}

var errNoResult = errors.New("there is nothing to keep yet: both points must be taken")

// body is what the record keeps.
func (c *calibrating) body(wall time.Time, who string) (record.Calibration, error) {
	if c.step != dashboards.CalibrationResult {
		return record.Calibration{}, errNoResult
	}
	on, due := record.Dates(wall)
	b := record.Calibration{
		Probe: c.probe.String(), Ice: c.ice.body(), Boil: c.boil.body(),
		Gain: c.line.Gain, Offset: c.line.Offset, U: c.line.Most(), On: on, Due: due, By: who,
	}
	b.Boil.Pressure, b.Boil.Depth = c.boil.pascal, c.depth
	return b, nil
}

func (t atPoint) body() record.Taken {
	return record.Taken{
		Reads: t.point.Reads, True: t.point.C, U: t.point.Own(), N: t.stand.N, Spread: t.stand.Spread,
		At: t.wall.Format(time.RFC3339),
	}
}
