// Package fold puts a bath's rules and alarms together: it takes the inputs
// of one bath in order and tells what changed. The daemon, the replay and the
// verifier all fold the same inputs through it, and get the same answers.
package fold

import (
	"time"

	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/balance"
	"bainward/sensors"
)

// Snapshot is everything that a page, a broker or a metric needs to know of
// one bath at one instant. Temperatures are corrected, in °C; NaN means none.
type Snapshot struct {
	Bath     string
	Batch    string // number of the batch, empty when idle
	At       time.Duration
	Wall     time.Time
	Units    rules.Units
	Recipe   rules.Recipe
	Rig      rules.Rig
	Phase    rules.Phase
	PhaseFor time.Duration
	Pass     int    // which maceration, from 1
	Sentence string // what is going on, in plain words

	Celsius  [sensors.RoleCount]float64
	Faults   [sensors.RoleCount]sensors.Fault
	Raw      [sensors.RoleCount]sensors.Reading
	Pressure int32 // Pa, as used
	Measured bool  // by a barometer; else from the elevation
	BoilingC float64
	FloorC   float64
	CeilingC float64

	Hold      time.Duration // done
	HoldAsked time.Duration
	OilMaxC   float64
	TopUps    int
	Verdict   rules.Verdict
	Estimate  balance.Estimate
	ToFloorS  balance.Range // until the oil reaches its floor, s; 0 when it has
	ToHeldS   balance.Range // until the hold is done, s; 0 when it is
	Asks      bool          // water was seen going in: how much was it?
	AskedKg   float64       // about so much
	BareKg    float64       // water in the pan when the dish base is just bare
	Alarms    [rules.IDCount]Standing
	Next      []rules.EventKind // operator events that make sense now
}

// Standing is how one alarm stands.
type Standing struct {
	State    alarm.State
	Priority alarm.Priority
	Since    time.Duration // offset at which it came into this state
	Until    time.Duration // offset at which the shelf ends
	Text     string        // what is wrong, with numbers; empty in Normal
	Advice   string        // what to do now
}

// Open lists the alarms that want a person or still stand, the gravest first.
func (s Snapshot) Open() []rules.ID {
	var ids []rules.ID
	for p := alarm.Critical; ; p-- {
		for id := range rules.IDCount {
			if a := s.Alarms[id]; a.State.Open() && a.Priority == p {
				ids = append(ids, id)
			}
		}
		if p == alarm.Low {
			return ids
		}
	}
}
