package record

import (
	"time"

	"bainward/sensors"
)

// Rounded returns f as the record gives it back: instants down to whole Ticks,
// the wall clock in UTC, temperatures to the nearest step of sensors.Grid, and
// nothing beside a fault. Frames go through it before the rules see them, so
// that folding the record again judges the very same values.
func Rounded(f sensors.Frame) sensors.Frame {
	f.At = RoundedAt(f.At)
	f.Wall = RoundedWall(f.Wall)
	for role, r := range f.Probes {
		if r.OK() {
			f.Probes[role] = sensors.At(r.Temperature)
		} else {
			f.Probes[role] = sensors.Failed(r.Fault)
		}
	}
	if f.Pressure.Fault != sensors.NoFault {
		f.Pressure.Pascal = 0
	}
	return f
}

// RoundedAt returns the offset in whole Ticks, rounded down, so that rounding
// never puts an earlier instant behind a later one.
func RoundedAt(at time.Duration) time.Duration {
	if part := at % Tick; part < 0 {
		return at - part - Tick
	}
	return at - at%Tick
}

// RoundedWall returns the instant in UTC and whole Ticks, rounded down.
func RoundedWall(wall time.Time) time.Time { return time.UnixMilli(wall.UnixMilli()).UTC() }
