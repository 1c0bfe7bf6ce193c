package trace

import (
	"time"

	"bainward/rules"
	"bainward/sensors"
)

// Row is one line of a trace.
type Row struct {
	Line int           // in the file, from 1; not written
	Wall time.Time     // UTC
	At   time.Duration // since the first row; not written
	// Probes holds, by role, the temperature on sensors.Grid, Absent for an
	// empty cell and NotFitted where the trace has no such column.
	Probes   [sensors.RoleCount]sensors.Reading
	Pressure sensors.Pressure // Absent and NotFitted as above
	Events   []rules.Event    // in the order in which they are written
}

// Frame returns the readings of the row.
func (r Row) Frame() sensors.Frame {
	return sensors.Frame{At: r.At, Wall: r.Wall, Probes: r.Probes, Pressure: r.Pressure}
}

// EventOnly reports whether the row only says what the maker did: it brings
// an event and every other cell is empty. Its frame says nothing, and to a rule
// would look like a fault of every probe.
func (r Row) EventOnly() bool {
	for _, p := range r.Probes {
		if p.OK() {
			return false
		}
	}
	return len(r.Events) > 0 && !r.Pressure.OK()
}
