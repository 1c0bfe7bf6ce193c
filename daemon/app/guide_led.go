package app

import (
	"math"
	"time"

	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/batch/amount"
	"bainward/rules/batch/cooling"
	"bainward/rules/batch/guide"
	"bainward/rules/fold"
	"bainward/sensors"
)

// led is what the guide goes by of one bath: what was done in its batch, and how
// its oil cools. It grows with every frame and entry, and is made again from the
// record after a restart.
type led struct {
	trail  guide.Trail
	cooler cooler
}

// frame takes a reading in, once the rules have judged it.
func (l *led) frame(b *fold.Bath, at time.Duration) {
	l.trail.Frame(&b.Rules)
	l.cooler.frame(b, at)
}

// entry takes a recorded entry of the bath or of the site in.
func (l *led) entry(e record.Entry) error {
	switch e.Kind {
	case record.KindBatch:
		var b record.Batch
		if err := e.Decode(&b); err != nil {
			return err
		}
		if b.State == record.Opened {
			*l = led{}
		}
	case record.KindEvent:
		var b record.Event
		if err := e.Decode(&b); err != nil {
			return err
		}
		event, err := b.Event()
		if err != nil {
			return err
		}
		l.trail.Event(guide.Did{Seq: e.Seq, Event: event, When: e.Wall, Who: b.By})
	case record.KindPhase:
		var b record.Phase
		if err := e.Decode(&b); err != nil {
			return err
		}
		p, err := b.In()
		if err != nil {
			return err
		}
		l.trail.Phase(p, b.Pass, e.Wall)
	case record.KindCorrection:
		var c record.Correction
		if err := e.Decode(&c); err != nil {
			return err
		}
		l.trail.Void(c.Voids)
	}
	return nil
}

// cooler watches oil that is off the heat.
type cooler struct {
	predictor cooling.Predictor
	begun     bool
	oil       float64
}

// pouredK: oil whose reading falls by so much from one frame to the next did not
// cool, it was poured into something cold. Another cooling begins there.
const pouredK = 4.0

func (c *cooler) frame(b *fold.Bath, at time.Duration) {
	switch b.Rules.Phase() {
	case rules.Straining, rules.Settling, rules.Cooling:
	default:
		if c.begun {
			*c = cooler{}
		}
		return
	}
	s := cooling.Sample{AtS: at.Seconds(), OilC: corrected(b, sensors.Oil), RoomC: corrected(b, sensors.Room)}
	if c.begun && c.oil-s.OilC > pouredK {
		c.predictor = cooling.Predictor{}
	}
	c.predictor.Add(s)
	c.begun = true
	if !math.IsNaN(s.OilC) {
		c.oil = s.OilC
	}
}

// corrected is what a probe says, °C; NaN if it says nothing that can be trusted.
func corrected(b *fold.Bath, role sensors.Role) float64 {
	c, fault := b.Rules.Celsius(role)
	if fault != sensors.NoFault {
		return math.NaN()
	}
	return c
}

// until is how long it takes, s, until the oil may be bottled.
func (c *cooler) until() amount.Range {
	if !c.begun {
		return amount.Unknown
	}
	return c.predictor.Until(cooling.BottleAboveRoomC)
}
