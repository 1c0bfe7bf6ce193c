package rules

import (
	"time"

	"bainward/rules/balance"
	"bainward/sensors"
)

// State is everything the rules remember of one bath. It is a plain value: it
// can be copied, compared with == and thrown away, and folding the recorded
// inputs again brings it back. The zero State knows nothing.
type State struct {
	now      time.Duration
	frames   int64
	framed   bool // framedAt, of the last frame, is on the clock of now
	framedAt time.Duration
	probes   [sensors.RoleCount]probe
	air      atmosphere
	course   course
	hold     hold
	water    balance.State
	last     Findings
	// noticed is an event that the readings show and nobody entered.
	noticed EventKind

	dry      dryMemory
	bare     bareMemory
	fresh    topUpMemory
	simmer   simmerMemory
	short    shortMemory
	swapped  swapMemory
	boil     boilMemory
	hot      hotMemory
	bottling Finding
}

// Phase returns where the batch stands.
func (s *State) Phase() Phase { return s.course.phase }

// PhaseFor returns how long the batch has been in its phase.
func (s *State) PhaseFor() time.Duration { return s.now - s.course.since }

// Begun reports whether a batch is open: something was put in or lit, and it
// was neither bottled nor abandoned.
func (s *State) Begun() bool { return s.course.begun && !s.course.ended() }

// Pass returns which maceration is going on, from 1; 0 before any batch.
func (s *State) Pass() int { return s.course.pass }

// TopUps returns how many top-ups were logged in this batch.
func (s *State) TopUps() int { return s.course.topUps }

// Hold returns the hold done in this maceration.
func (s *State) Hold() time.Duration { return s.hold.done }

// OilMax returns the highest trusted oil temperature of the batch, °C, and
// false if there was none.
func (s *State) OilMax() (float64, bool) { return s.hold.oilMax, s.hold.oilSeen }

// Verdict says what can be said of the hold so far.
func (s *State) Verdict() Verdict { return s.course.verdict }

// Estimate returns what is thought to be happening in the pan; nothing once the
// dish is out of it.
func (s *State) Estimate() balance.Estimate {
	if s.course.strained() {
		return balance.Nothing
	}
	return s.water.Estimate()
}

// Findings returns what the rules said last.
func (s *State) Findings() Findings { return s.last }

// Noticed returns an event that the last frame shows although nobody entered
// it, or NoEvent. It is for whoever feeds the inputs to enter it as seen.
func (s *State) Noticed() EventKind { return s.noticed }

// Celsius returns the corrected temperature of a probe at the last frame, and
// the fault that stands in its place.
func (s *State) Celsius(r sensors.Role) (float64, sensors.Fault) {
	p := &s.probes[r]
	if !p.seen && p.fault == sensors.NoFault {
		return 0, sensors.Stale
	}
	return p.c, p.fault
}

// Air returns the air pressure in use, whether a barometer measured it, and
// the boiling point of water at it.
func (s *State) Air() (pascal int32, measured bool, boiling float64) {
	return s.air.pascal, s.air.used, s.air.boiling
}

// Bounds returns the oil's floor and ceiling at the last frame, °C.
func (s *State) Bounds(cfg *Config) (floor, ceiling float64) { return s.bounds(cfg) }

// HoldOfBatch returns the hold done in all macerations of the batch.
func (s *State) HoldOfBatch() time.Duration { return s.hold.total }

// Learned returns what this maceration has taught about the bath so far, for the
// next one: see balance.Prior.
func (s *State) Learned(cfg *Config) balance.Prior { return s.water.Learned(cfg.panRig()) }

// PoursSeen returns how many pours were seen in the bath that nobody entered.
func (s *State) PoursSeen() int { return s.water.Seen.Pours }

// HoldRuns reports whether the hold is being counted at this instant.
func (s *State) HoldRuns() bool { return s.hold.linked }
