package rules

import (
	"math"
	"time"

	"periph.io/x/conn/v3/physic"

	"bainward/sensors"
)

// DoubtLimits say when a reading is not believed although the chip sent it
// whole. They serve the rule probe-doubtful and everything that trusts a probe.
type DoubtLimits struct {
	// JumpKPerS: a probe cannot follow faster. The quickest DS18B20 in stirred
	// water measured had a time constant of 7 s (Hamburg loggers 2023, raw
	// logs); dipped from 20 °C air into boiling water it moves 80/7 = 11.4 K/s.
	JumpKPerS float64 `toml:"jump_k_per_s" json:"jump_k_per_s"`
	// StuckS: how long a reading may stay the same to the last bit while the
	// other probe shows that it must move.
	StuckS float64 `toml:"stuck_s" json:"stuck_s"`
	// SwappedK: oil ahead of the bath by this much while both warm means that
	// the probes changed places: heat reaches the oil through the bath. Both
	// probes' hot bands (1 °C each) plus as much again for mixing.
	SwappedK float64 `toml:"swapped_k" json:"swapped_k"`
	// LastsS: a fault shorter than this is noise on the wire.
	LastsS float64 `toml:"lasts_s" json:"lasts_s"`
	// AboveBoilK: a bath probe on its boil may stand so much over the boiling point
	// of the moment beside its own uncertainty and that of the pressure: less than
	// FloorK of boiling-dry allows, so that this is said first. 10 cm of water make
	// 0.26 K (ρgh and IAPWS-IF97), the metal under a simmer the rest; in 40 drawn
	// kitchens a sound probe stood 0.69 K over it at the most. What is dissolved in
	// tap water makes 0.01 K (0.5 g/l at 0.51 K·kg/mol, from memory).
	AboveBoilK float64 `toml:"above_boil_k" json:"above_boil_k,omitzero"`
	// BoilS: how long the boil must stand so. 0: nobody looks, as before there was
	// such a limit.
	BoilS float64 `toml:"boil_s" json:"boil_s,omitzero"`
}

// defaultDoubt holds the limits when the site names none.
var defaultDoubt = DoubtLimits{JumpKPerS: 12, StuckS: 300, SwappedK: 4, LastsS: 10, AboveBoilK: 0.6, BoilS: 300}

const (
	jumpSlack  = 3.0                 // K: noise of a rolling boil and two steps of the chip
	memorySpan = 60 * time.Second    // an older reading is no witness against a jump
	chipStep   = physic.Celsius / 16 // of a DS18B20 at 12 bits (data sheet 19-7487)
	// deadStill: over a lit hob nothing keeps to one such step for so long.
	// Water is topped up, herb dries, bubbles pass, and a sixteenth of a kelvin in
	// twenty minutes is a fifth of one in an hour.
	deadStill   = 20 * time.Minute
	jumpConfirm = 3 // readings at the new place before a moved probe is believed
	// powerOnValue is what a DS18B20 says before it has converted (data sheet
	// 19-7487): +85 °C.
	powerOnValue = physic.ZeroCelsius + 85*physic.Celsius
	tooHotFrom   = 110.0 // °C
	powerOnStep  = 5.0   // K: a step to exactly 85 °C larger than this is the chip, not the water
)

// probe is what is known of one probe.
type probe struct {
	c      float64       // last trusted temperature, corrected, °C
	goodAt time.Duration // when
	seen   bool          // ever trusted
	good   bool          // trusted at this frame
	fault  sensors.Fault // of this frame
	since  time.Duration // when the run of untrusted frames began
	bad    int           // untrusted frames in a row
	share  float64       // share of untrusted frames lately, 0…1

	raw      sensors.Reading // last good raw reading
	fine     bool            // raw has moved by one step of a chip at 12 bits
	same     time.Duration   // since when raw has not changed
	elseAt   float64         // the other probe's °C at that time
	elseSeen bool

	moved  float64 // where a jump went, °C
	movedN int     // readings there so far
	short  trail   // spans of 2 s: fast things
	long   trail   // spans of 10 s: slow things
}

const (
	shortSpan = 2 * time.Second
	longSpan  = 10 * time.Second
)

// take judges one reading of the probe and files it.
func (p *probe) take(c Correction, lim DoubtLimits, r sensors.Reading, at time.Duration) {
	if c.Away && r.OK() {
		r = sensors.Failed(sensors.NotFitted) // what it measures is not this bath
	}
	fault := r.Fault
	celsius := 0.0
	if fault == sensors.NoFault {
		celsius = c.Celsius(r.Temperature.Celsius())
		fault = p.doubt(celsius, r, lim, at)
	}
	p.fault, p.good = fault, fault == sensors.NoFault
	if !p.good {
		return
	}
	if !p.seen || p.raw != r {
		step := r.Temperature - p.raw.Temperature
		p.fine = p.fine || p.seen && step >= -chipStep && step <= chipStep
		p.raw, p.same, p.elseSeen = r, at, false
	}
	p.c, p.goodAt, p.seen = celsius, at, true
	p.short.add(at, celsius, shortSpan)
	p.long.add(at, celsius, longSpan)
}

// count keeps the run and the share of untrusted frames, once all is known of
// this one.
func (p *probe) count(at time.Duration) {
	const weight = 1.0 / 32
	bad := 0.0
	if !p.good {
		bad = 1
		if p.bad == 0 {
			p.since = at
		}
		p.bad++
	} else {
		p.bad = 0
	}
	p.share += float64(weight * (bad - p.share))
}

// doubt compares a reading with the one before.
func (p *probe) doubt(celsius float64, r sensors.Reading, lim DoubtLimits, at time.Duration) sensors.Fault {
	step := math.Abs(celsius - p.c)
	if p.seen && r.Temperature == powerOnValue && step > powerOnStep {
		// However long it lasts: a chip that starts again and again says nothing
		// else, and 85 °C may well be the floor of the oil. Water that is truly
		// there does not keep to one step of the chip.
		return sensors.PowerOn
	}
	if !p.seen || at-p.goodAt > memorySpan {
		p.movedN = 0
		return sensors.NoFault
	}
	if step <= float64(lim.JumpKPerS*(at-p.goodAt).Seconds())+jumpSlack {
		p.movedN = 0
		return sensors.NoFault
	}
	if p.movedN == 0 || math.Abs(celsius-p.moved) > float64(2*lim.JumpKPerS)+jumpSlack {
		p.movedN = 0
	}
	p.moved = celsius
	p.movedN++
	if p.movedN >= jumpConfirm {
		p.movedN = 0
		return sensors.NoFault
	}
	return sensors.Jumped
}

// stuck marks the probe when its raw value has stood still although the other
// probe, other, shows that it must move, or for too long whatever that shows.
func (p *probe) stuck(other *probe, lim DoubtLimits, must func(otherThen, otherNow float64) bool, at time.Duration) {
	if !p.good || !other.good {
		return
	}
	if !p.elseSeen {
		p.elseAt, p.elseSeen = other.c, true
		p.same = at
		return
	}
	stood := at - p.same
	if p.fine && stood >= deadStill || stood.Seconds() >= lim.StuckS && must(p.elseAt, other.c) {
		p.fault, p.good = sensors.Stuck, false
	}
}

// tooHot reports whether the probe stopped reading because it went past +125 °C,
// to which the way leads through tooHotFrom: not a fault of the probe but of
// what it measures.
func (p *probe) tooHot() bool { return p.fault == sensors.OutOfRange && p.seen && p.c > tooHotFrom }

// silent reports whether p has given nothing to go by for at least d.
func (p *probe) silent(at time.Duration, d time.Duration) bool {
	return !p.good && p.bad >= 2 && at-p.since >= d
}

// halves returns the fits over both halves of a window, and whether both rest on
// enough. What goes on all through it shows in both; what happened once, in one.
func (p *probe) halves(at, window time.Duration) (early, late line, whole bool) {
	half := window / 2
	early, late = p.long.between(at-window, at-half), p.long.between(at-half, at)
	return early, late, early.whole(half) && late.whole(half)
}

// line returns the fit over the last window, from the trail that suits it.
func (p *probe) line(at, window time.Duration) line {
	if window <= trailLen*shortSpan/2 {
		if l := p.short.between(at-window, at); l.n >= 3 {
			return l
		}
	}
	return p.long.between(at-window, at)
}
