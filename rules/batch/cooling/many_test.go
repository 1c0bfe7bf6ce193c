package cooling_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bainward/rules/batch/cooling"
)

// dishes draws coolings by two exponentials: bowls and buckets, with a fast part
// of none to half. They are not drawn from what the predictor holds likely.
func dishes(n int) []truth {
	r := rand.New(rand.NewPCG(7, 11))
	var all []truth
	for range n {
		slow := 1 / (60 * (20 + 180*r.Float64()))
		gap, share := 45+30*r.Float64(), 0.5*r.Float64()
		all = append(all, truth{room: 15 + 12*r.Float64(), a: gap * (1 - share), slow: slow, b: gap * share, fast: slow * (3 + 9*r.Float64())})
	}
	return all
}

// Over many dishes, asked at a sixth, a third and half of the way, the predictor's middle error is less
// than half of Newton's, and its range from one in ten to nine in ten holds the
// truth about as often as it says.
func TestManyDishesAreForetoldBetterThanByNewton(t *testing.T) {
	for _, part := range []float64{1.0 / 6, 1.0 / 3, 0.5} {
		var ours, rivals []float64
		held, closer, n := 0, 0, 60
		for _, c := range dishes(n) {
			end := c.until(cooling.BottleAboveRoomC)
			seen := math.Floor(end*part/60) * 60
			want := end - seen
			got := watch(c, seen).Until(cooling.BottleAboveRoomC)
			mine, his := math.Abs(got.P50-want)/want, math.Abs(newton(c, seen)-want)/want
			ours, rivals = append(ours, mine), append(rivals, his)
			if mine < his {
				closer++
			}
			if got.P10 <= want && want <= got.P90 {
				held++
			}
		}
		slices.Sort(ours)
		slices.Sort(rivals)
		t.Logf("seen %.0f %%: error in the middle %.1f %% (Newton %.1f %%), p90 %.1f %% (%.1f %%), nearer in %d of %d, held in %d",
			100*part, 100*ours[n/2], 100*rivals[n/2], 100*ours[n*9/10], 100*rivals[n*9/10], closer, n, held)
		if ours[n/2] > rivals[n/2]/2 || closer < n*3/4 {
			t.Error("that is not better than Newton")
		}
		if held < n*70/100 {
			t.Error("the range holds the truth too seldom")
		}
	}
}

// Whatever is read, in whatever order, the answer is a range in its order, or
// nothing.
func TestAnyReadingsGiveARangeOrNothing(t *testing.T) {
	odd := rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -55, 125, 1e300})
	number := rapid.OneOf(rapid.Float64Range(-55, 125), rapid.Float64Range(15, 100), odd)
	rapid.Check(t, func(t *rapid.T) {
		var p cooling.Predictor
		at := 0.0
		for range rapid.IntRange(0, 30).Draw(t, "readings") {
			at += rapid.Float64Range(-10, 900).Draw(t, "later")
			p.Add(cooling.Sample{AtS: at, OilC: number.Draw(t, "oil"), RoomC: number.Draw(t, "room")})
		}
		r := p.Until(rapid.Float64Range(-1, 20).Draw(t, "above"))
		if r.Known() && !(0 <= r.P10 && r.P10 <= r.P50 && r.P50 <= r.P90 && !math.IsInf(r.P90, 0)) {
			t.Errorf("%v", r)
		}
	})
}

// Nothing is said before there is something to go by, and nothing is awaited
// that has come.
func TestTooLittleSaysNothing(t *testing.T) {
	var p cooling.Predictor
	if p.Until(3).Known() {
		t.Error("nothing was seen, and something was foretold")
	}
	p.Add(cooling.Sample{AtS: 0, OilC: 22.5, RoomC: 20})
	if got := p.Until(3); got.P50 != 0 {
		t.Errorf("oil within 3 °C of the room is ready in %v s", got.P50)
	}
}

// Oil that is put back into the bath begins a new cooling.
func TestReheatedOilBeginsAnew(t *testing.T) {
	again := watch(mug, 3000)
	fresh := watch(mug, 1200)
	for t := 0.0; t <= 1200; t += 10 {
		again.Add(cooling.Sample{AtS: 4000 + t, OilC: read(mug.at(t)), RoomC: read(mug.room)})
	}
	if a, b := again.Until(3), fresh.Until(3); a != b {
		t.Errorf("%v after a first cooling, %v without", a, b)
	}
}

// Probes that fail now and then change little: every third reading is missing,
// and the room is read only once.
func TestMissingReadingsChangeLittle(t *testing.T) {
	var p cooling.Predictor
	for i := range 361 {
		s := cooling.Sample{AtS: float64(i) * 10, OilC: read(mug.at(float64(i) * 10)), RoomC: math.NaN()}
		if i%3 == 1 {
			s.OilC = math.NaN()
		}
		if i == 5 {
			s.RoomC = mug.room
		}
		p.Add(s)
	}
	got, whole := p.Until(3), watch(mug, 3600).Until(3)
	near(t, "s until ready", got.P50, whole.P50, 0.05*whole.P50)
}
