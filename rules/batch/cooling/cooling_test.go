package cooling_test

import (
	"math"
	"testing"

	"bainward/rules/batch/cooling"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: got %v, want %v ± %v", what, got, want, within)
	}
}

// A cup of coffee at 200 °F in a room of 70 °F has 180 °F after 2 min; it has 175 °F after
// 2.557 min and 155 °F after 5.087 min (OpenStax, Calculus volume 2, the example
// on Newton's law of cooling; the example from memory).
func TestACupOfCoffeeCoolsByNewton(t *testing.T) {
	n := cooling.Through(200, 70, 180, 2)
	near(t, "rate", n.Rate, (math.Log(13)-math.Log(11))/2, 1e-12)
	near(t, "175 °F", n.Until(175), 2.557, 5e-4)
	near(t, "155 °F", n.Until(155), 5.087, 5e-4)
	near(t, "after 2 min", n.At(2), 180, 1e-9)
	for _, never := range []float64{70, 60, 201, math.NaN()} {
		if got := n.Until(never); !math.IsNaN(got) {
			t.Errorf("%v °F is reached after %v min", never, got)
		}
	}
}

// truth is a dish that cools by two exponentials: °C and s.
type truth struct{ room, a, slow, b, fast float64 }

func (c truth) at(t float64) float64 {
	return c.room + c.a*math.Exp(-c.slow*t) + c.b*math.Exp(-c.fast*t)
}

// until is when the gap has fallen to above.
func (c truth) until(above float64) float64 {
	low, high := 0.0, 1e6
	for range 80 {
		if m := (low + high) / 2; c.at(m)-c.room > above {
			low = m
		} else {
			high = m
		}
	}
	return high
}

// mug is a real mug of water, 222 readings a minute apart: two exponentials put
// through them leave 0.17 °C (readings: the public data set CoolingWater of the R
// package mosaicData; the fit was made for this test).
var mug = truth{room: 23.587, a: 48.061, slow: 0.013508 / 60, b: 25.209, fast: 0.081654 / 60}

// One exponential through the same mug, 27.0044 + 62.1354·e^(-0.0209644 t), is off by
// 1.48 °C in the mean of squares and by most in the first minutes: why Newton's law
// is not enough.
func TestOneExponentialIsOffTheMug(t *testing.T) {
	one := cooling.Newton{Start: 27.0044 + 62.1354, Room: 27.0044, Rate: 0.0209644}
	sum, worst, when := 0.0, 0.0, -1.0
	for m := 0.0; m < 222; m++ {
		d := math.Abs(one.At(m) - mug.at(m*60))
		sum += d * d
		if d > worst {
			worst, when = d, m
		}
	}
	near(t, "root mean square, °C", math.Sqrt(sum/222), 1.48, 0.03)
	if worst < 7 || when > 3 {
		t.Errorf("at most %v °C off, after %v min", worst, when)
	}
}

// read is what a probe with steps of 1/16 °C says.
func read(c float64) float64 { return math.Round(c*16) / 16 }

// watch shows a predictor the first seconds of c, a reading every ten.
func watch(c truth, seconds float64) *cooling.Predictor {
	var p cooling.Predictor
	for t := 0.0; t <= seconds; t += 10 {
		p.Add(cooling.Sample{AtS: t, OilC: read(c.at(t)), RoomC: read(c.room)})
	}
	return &p
}

// newton is the best single exponential through the same readings, in the sense of least
// squares, and when it comes within 3 °C of the room.
func newton(c truth, seconds float64) float64 {
	best, when := math.Inf(1), math.NaN()
	for k := 1e-5; k < 1e-2; k *= 1.02 {
		uu, uy, yy := 0.0, 0.0, 0.0
		for t := 0.0; t <= seconds; t += 60 {
			u, y := math.Exp(-k*t), read(c.at(t))-read(c.room)
			uu, uy, yy = uu+u*u, uy+u*y, yy+y*y
		}
		if rss := yy - uy*uy/uu; rss < best {
			best, when = rss, math.Log(uy/uu/cooling.BottleAboveRoomC)/k
		}
	}
	return when - seconds
}

// On the published mug the predictor is nearer to the truth than Newton's law from
// ten minutes on, and its range holds the truth.
func TestTheMugIsForetoldBetterThanByNewton(t *testing.T) {
	end := mug.until(cooling.BottleAboveRoomC)
	near(t, "the mug is ready, min", end/60, 205.4, 0.2)
	for _, minutes := range []float64{10, 15, 20, 30, 45, 60, 90, 120} {
		p := watch(mug, minutes*60)
		got, want := p.Until(cooling.BottleAboveRoomC), end-minutes*60
		rival := newton(mug, minutes*60)
		t.Logf("after %3.0f min: true %3.0f, foretold %3.0f (%3.0f to %3.0f), Newton %3.0f min",
			minutes, want/60, got.P50/60, got.P10/60, got.P90/60, rival/60)
		if math.Abs(got.P50-want) >= math.Abs(rival-want) {
			t.Errorf("after %v min Newton is nearer", minutes)
		}
		if want < got.P10 || want > got.P90 {
			t.Errorf("after %v min the range leaves out the truth", minutes)
		}
	}
}
