package cooling_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"bainward/rules/batch/amount"
	"bainward/rules/batch/cooling"
	"bainward/sensors/bench"
)

// body is something hot that cools, as its probes read it: a sample every ten
// seconds, until the gap between the two readings is as small as for bottling.
type body []cooling.Sample

const sampleS = 10.0

// ready is when it may be bottled, s after the first sample.
func (b body) ready() float64 { return b[len(b)-1].AtS }

// foretold is what is foretold at a moment, from what was read until then.
func (b body) foretold(at float64) amount.Range {
	var p cooling.Predictor
	for _, s := range b {
		if s.AtS > at {
			break
		}
		p.Add(s)
	}
	return p.Until(cooling.BottleAboveRoomC)
}

// stand draws where a body stands and how it is read: a room that drifts by some
// 0.7 K an hour and swings as a thermostat lets it, and two probes within ±0.2 °C.
type stand struct{ room, drift, swing, period, oilErr, airErr float64 }

func standOf(r *rand.Rand) stand {
	return stand{
		room: 15 + 10*r.Float64(), drift: 0.7 / 3600 * r.NormFloat64(), swing: 0.3 * r.Float64(), period: 1200 + 2400*r.Float64(),
		oilErr: 0.4*r.Float64() - 0.2, airErr: 0.4*r.Float64() - 0.2,
	}
}

// cooled is what is read of a body whose gap would fall as gap does if the room
// stayed. Its own lag behind the drift is that of its slow rate, exactly so for a body
// that cools by Newton's law.
func (s stand) cooled(gap func(t float64) float64, slow float64) (b body) {
	for t := 0.0; ; t += sampleS {
		oil := s.room + gap(t) + s.drift*(t-(1-math.Exp(-slow*t))/slow)
		air := s.room + s.drift*t + s.swing*math.Sin(2*math.Pi*t/s.period)
		b = append(b, cooling.Sample{AtS: t, OilC: read(oil + s.oilErr), RoomC: read(air + s.airErr)})
		if last := b[len(b)-1]; last.OilC-last.RoomC <= cooling.BottleAboveRoomC || t > 86400 {
			return b
		}
	}
}

// dishOf is a drawn dish of the simulated bath that was strained at 92 °C: its glass
// is as hot, its room drifts, and its probes err.
func dishOf(t testing.TB, seed uint64) body {
	t.Helper()
	r := bench.Vary(seed)
	room := r.Air.RoomC
	r.Air.RoomC, r.Step = 92, 2*time.Second
	p, err := bench.NewPan(r)
	if err != nil {
		t.Fatal(err)
	}
	p.Charge(0)
	p.Strain()
	p.SetRoom(room)
	oil, air := bench.NewProbe(r.OilProbe, seed, 92), bench.NewProbe(r.RoomProbe, seed+1, room)
	var b body
	for at := 0.0; ; at += sampleS {
		s := cooling.Sample{AtS: at, OilC: oil.Reading().Celsius(), RoomC: air.Reading().Celsius()}
		b = append(b, s)
		if s.OilC-s.RoomC <= cooling.BottleAboveRoomC || at > 86400 {
			return b
		}
		for range int(sampleS) {
			p.Advance(time.Second)
			for _, probe := range []*bench.Probe{oil, air} {
				probe.Follow(p, 1)
				probe.Shake(p)
			}
		}
	}
}

// kind is bodies of one family and size.
type kind struct {
	name, family string
	bodies       []body
}

// reported seeds the bodies of the table. What is held likely was chosen while
// watching bodies of other seeds: 101 of the same draws, and the ones before it.
const reported = 202

// kinds draw n bodies of each family and size: bodies that cool by Newton's law alone,
// to 1/e in 20 min to 2 h; mugs that cool as the published one did, but smaller and
// larger ones; and dishes of the simulated bath, whose sizes it draws itself.
func kinds(t testing.TB, n int) (all []kind) {
	r := rand.New(rand.NewPCG(reported, 5))
	draw := func(k kind, one func() body) {
		for range n {
			k.bodies = append(k.bodies, one())
		}
		all = append(all, k)
	}
	between := func(low, high float64) float64 { return low + float64((high-low)*r.Float64()) }
	for _, size := range []struct {
		name        string
		least, most float64 // min
	}{{"small", 20, 40}, {"middling", 40, 75}, {"large", 75, 120}} {
		draw(kind{name: size.name, family: "Newton's"}, func() body {
			k, gap := 1/(60*math.Exp(between(math.Log(size.least), math.Log(size.most)))), between(55, 75)
			return standOf(r).cooled(func(t float64) float64 { return gap * math.Exp(-k*t) }, k)
		})
	}
	for _, size := range []struct {
		name        string
		least, most float64 // times as fast as the published one
	}{{"small", 1.1, 1.5}, {"middling", 0.9, 1.1}, {"large", 0.67, 0.9}} {
		draw(kind{name: size.name, family: "mug"}, func() body {
			m, speed := mug, between(size.least, size.most)
			m.room, m.slow, m.fast = 0, m.slow*speed, m.fast*speed
			return standOf(r).cooled(m.at, m.slow)
		})
	}
	seed := uint64(1000 * reported)
	draw(kind{name: "all sizes", family: "dish"}, func() body { seed++; return dishOf(t, seed) })
	return all
}

// pairs are the drawn dishes of two exponentials, in rooms that stay.
func pairs(n int) (all []body) {
	for _, c := range dishes(n) {
		still := stand{room: c.room, period: 1}
		all = append(all, still.cooled(func(t float64) float64 { return c.at(t) - c.room }, c.slow))
	}
	return all
}
