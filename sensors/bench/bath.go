package bench

import (
	"math"
	"time"

	"bainward/sensors"
)

// bath is a pan with its three probes, as a script finds it.
type bath struct {
	pan     *Pan
	probes  [sensors.RoleCount]*Probe
	faults  [sensors.RoleCount]sensors.Fault
	kept    [sensors.RoleCount]float64 // °C of a stuck probe
	swapped bool                       // oil and bath probe hang in each other's place
}

func newBath(r Rig) (*bath, error) {
	p, err := NewPan(r)
	if err != nil {
		return nil, err
	}
	b := &bath{pan: p}
	for role, spec := range [...]ProbeSpec{sensors.Oil: r.OilProbe, sensors.Bath: r.BathProbe, sensors.Room: r.RoomProbe} {
		b.probes[role] = NewProbe(spec, r.Seed*8+uint64(role), r.Air.RoomC)
	}
	return b, nil
}

// advance lets d pass. The probes follow at least once a second and are shaken
// at whole seconds, so that the noise does not depend on how d is cut up.
func (b *bath) advance(d time.Duration) {
	for d > 0 {
		dt := min(d, time.Second-b.pan.at%time.Second)
		b.pan.Advance(dt)
		for _, probe := range b.probes {
			probe.Follow(b.pan, dt.Seconds())
			if b.pan.at%time.Second == 0 {
				probe.Shake(b.pan)
			}
		}
		d -= dt
	}
}

// probe returns the probe that is wired as role.
func (b *bath) probe(role sensors.Role) *Probe {
	if b.swapped {
		switch role {
		case sensors.Oil:
			role = sensors.Bath
		case sensors.Bath:
			role = sensors.Oil
		}
	}
	return b.probes[role]
}

// celsius returns what the chip wired as role measures, whatever its faults on
// the wire; a stuck one stays.
func (b *bath) celsius(role sensors.Role) float64 {
	if b.faults[role] == sensors.Stuck {
		return b.kept[role]
	}
	return b.probe(role).Celsius()
}

func (b *bath) setFault(role sensors.Role, f sensors.Fault) {
	b.kept[role] = b.celsius(role)
	b.faults[role] = f
}

func (b *bath) reading(role sensors.Role) sensors.Reading {
	if f := b.faults[role]; f != sensors.NoFault && f != sensors.Stuck {
		return sensors.Failed(f)
	}
	return onGrid(b.celsius(role))
}

// onGrid is what a driver reports of a DS18B20 at c °C: steps of 1/16 °C
// (data sheet 19-7487, 12 bits), from −55 to +125 °C.
func onGrid(c float64) sensors.Reading {
	const steps, coldest, hottest = 16, -55, 125
	c = math.Round(c*steps) / steps
	if c < coldest || c > hottest {
		return sensors.Failed(sensors.OutOfRange)
	}
	return sensors.AtCelsius(c)
}

func (b *bath) frame(start time.Time) sensors.Frame {
	f := sensors.Frame{At: b.pan.at, Wall: start.Add(b.pan.at), Pressure: b.pan.barometer()}
	for role := range sensors.RoleCount {
		f.Probes[role] = b.reading(role)
	}
	return f
}
