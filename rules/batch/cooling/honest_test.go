package cooling_test

import (
	"math"
	"slices"
	"testing"

	"bainward/rules/batch/cooling"
)

// tally counts how what was foretold of bodies came true.
type tally struct {
	held, asked int
	off         []float64 // of P50, as a share of the time that was left
}

func (c *tally) ask(b body, at float64) {
	left := b.ready() - at
	if left < 300 {
		return // ready by now, or as good as
	}
	r := b.foretold(at)
	c.asked++
	if r.P10 <= left && left <= r.P90 {
		c.held++
	}
	c.off = append(c.off, math.Abs(r.P50-left)/left)
}

func (c *tally) share() float64 { return float64(c.held) / float64(c.asked) }

func (c *tally) middle() float64 {
	slices.Sort(c.off)
	return c.off[len(c.off)/2]
}

// add counts what another tally counted.
func (c *tally) add(o tally) {
	c.held, c.asked, c.off = c.held+o.held, c.asked+o.asked, append(c.off, o.off...)
}

// Over dishes of the simulated bath, mugs like the published one and bodies that cool
// by Newton's law, of several sizes each, the range from one in ten to nine in ten
// leaves the truth out in few of any of them, a quarter of an hour after the strain and
// later, and the middle is seldom far off. -v prints the table. A range that were always
// right would be no news: a dish, which is what is cooled here, has a narrow one.
func TestTheRangeHoldsAsOftenAsItSays(t *testing.T) {
	families := kinds(t, 24)
	for _, minutes := range []float64{15, 35, 65} {
		var all tally
		of := map[string]*tally{}
		for _, k := range families {
			var one tally
			for _, b := range k.bodies {
				one.ask(b, minutes*60)
			}
			t.Logf("after %2.0f min, %-8s %-9s: held in %3.0f %% of %2d, the middle off by %4.1f %%", minutes, k.family, k.name, 100*one.share(), one.asked, 100*one.middle())
			if of[k.family] == nil {
				of[k.family] = new(tally)
			}
			of[k.family].add(one)
			all.add(one)
			if one.share() < 0.55 || one.middle() > 0.3 {
				t.Errorf("after %v min %s %s bodies are held in %.0f %%, and the middle is off by %.0f %%", minutes, k.name, k.family, 100*one.share(), 100*one.middle())
			}
		}
		for family, one := range of {
			t.Logf("after %2.0f min, %-8s together : held in %3.0f %% of %2d, the middle off by %4.1f %%", minutes, family, 100*one.share(), one.asked, 100*one.middle())
			if one.share() < 0.72 || one.middle() > 0.2 {
				t.Errorf("after %v min %s bodies are held in %.0f %%, and the middle is off by %.0f %%", minutes, family, 100*one.share(), 100*one.middle())
			}
		}
		if all.share() > 0.97 {
			t.Errorf("after %v min the range holds in %.0f %%: it is too wide to say anything", minutes, 100*all.share())
		}
		if minutes >= 35 && all.middle() > 0.1 {
			t.Errorf("after %v min the middle is off by %.1f %%", minutes, 100*all.middle())
		}
	}
}

// Dishes of two exponentials in all proportions, up to four times as slow as what is
// held usual, are foretold within the range more often than not from the first
// quarter of an hour on.
func TestUnusualDishesAreHeldToo(t *testing.T) {
	bodies := pairs(40)
	for _, minutes := range []float64{15, 35, 65, 120} {
		var all tally
		for _, b := range bodies {
			all.ask(b, minutes*60)
		}
		t.Logf("after %3.0f min: held in %d of %d, the middle off by %.1f %%", minutes, all.held, all.asked, 100*all.middle())
		if all.share() < 0.6 {
			t.Errorf("after %v min the range holds in %.0f %%", minutes, 100*all.share())
		}
	}
}

// A body that cools in a room which becomes warmer is ready sooner than in one that
// stays, and later in one that becomes colder; both are foretold before it shows in
// the oil. By Newton's law the gap tends to -drift/k.
func TestADriftingRoomIsReckonedWith(t *testing.T) {
	const k, gap, at = 1.0 / 3600, 70.0, 2400.0
	var last float64
	for _, drift := range []float64{1.5, 0, -1.5} { // °C an hour
		rest := -drift / 3600 / k
		want := math.Log((gap-rest)/(cooling.BottleAboveRoomC-rest)) / k
		b := stand{room: 20, drift: drift / 3600, period: 1}.cooled(func(t float64) float64 { return gap * math.Exp(-k*t) }, k)
		near(t, "ready, min", b.ready()/60, want/60, 2)
		got := b.foretold(at)
		t.Logf("%+.1f °C an hour: true %3.0f, foretold %3.0f (%3.0f to %3.0f) min", drift, (want-at)/60, got.P50/60, got.P10/60, got.P90/60)
		if got.P50 <= last {
			t.Errorf("%v °C an hour: foretold %v s, no later than in a warmer room", drift, got.P50)
		}
		if want-at < got.P10 || want-at > got.P90 {
			t.Errorf("%v °C an hour: the range leaves out the truth", drift)
		}
		last = got.P50
	}
}

// Where nobody reads the room the range is wider.
func TestARoomThatNobodyReadsWidensTheRange(t *testing.T) {
	b := stand{room: 20, period: 1}.cooled(func(t float64) float64 { return 70 * math.Exp(-t/3600) }, 1.0/3600)
	read := b.foretold(3600)
	for i := range b {
		b[i].RoomC = math.NaN()
	}
	if blind := b.foretold(3600); blind.P90-blind.P10 < 2*(read.P90-read.P10) {
		t.Errorf("%v with a room, %v without", read, blind)
	}
}
