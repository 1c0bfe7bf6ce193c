package fold_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"bainward/rules"
	"bainward/sensors/bench"
)

// The same sabotage of the other simulated bath, which knows no waves and whose
// probe always lies on the floor. Its dish, too, takes less heat the moment that
// the base is bare.
func TestSabotageOfAnotherBathHidesNeitherBareNorDry(t *testing.T) {
	const first = 1001
	baths := uint64(24)
	if testing.Short() {
		baths = 1
	}
	outcomes := make([]outcome, len(sabotages))
	for i := range outcomes {
		outcomes[i].floors = sabotages[i].plain
	}
	t.Run("baths", func(t *testing.T) {
		for seed := uint64(first); seed < first+baths; seed++ {
			t.Run(fmt.Sprint(seed), func(t *testing.T) {
				t.Parallel()
				sabotageAll(t, seed, newPlainBath(seed).cfg, outcomes, func(h hands) neglect { return newPlainBath(seed).neglect(t, h) })
			})
		}
	})
	sumUp(t, outcomes)
}

// neglect plays the bath until it has been dry for five minutes: fill, light,
// turn-down, one honest top-up in every other bath, then the hands of the sabotage.
func (b *plainBath) neglect(t *testing.T, h hands) neglect {
	t.Helper()
	b.water = b.bare() + .12 + .38*b.r.Float64()
	fill := kilograms(b.water)
	n := neglect{low: bench.Never, bare: bench.Never, dry: bench.Never}
	topUp := b.r.IntN(2) == 1
	set, pour, down, act := 0.0, 0.0, 0, 60+60*(12+2*b.r.IntN(7))
	var said []rules.Event
	for s := 0; time.Duration(s)*time.Second < neglectMost; s++ {
		at := time.Duration(s) * time.Second
		switch {
		case s == 0:
			said = append(said, rules.Event{Kind: rules.Fill, Quantity: fill}, rules.Event{Kind: rules.Charge})
		case s == b.lit:
			said, set = append(said, rules.Event{Kind: rules.Light}), b.ramp
		case down == 0 && b.waterC >= b.boilingC-.3:
			down, set = s, b.simmer
			said = append(said, rules.Event{Kind: rules.TurnDown})
		case topUp && down > 0 && s == down+600:
			said, pour = append(said, rules.Event{Kind: rules.TopUp, Quantity: kilograms(.3)}), .3
		case down > 0 && s == down+act:
			set, pour = b.suffer(h, set), h.pour
			n.act = len(n.rows)
		}
		b.second(s, set, &pour)
		b.note(&n, at)
		if at%neglectFrame == 0 {
			n.rows = append(n.rows, b.row(s, said))
			said = nil
		}
		if n.dry != bench.Never && at-n.dry > 5*time.Minute {
			break
		}
	}
	if n.bare == bench.Never || n.dry == bench.Never {
		t.Fatalf("%+v: bare at %s, dry at %s", h, n.bare, n.dry)
	}
	n.wave = n.bare
	return n
}

// suffer lets the hands do to the bath what they do at once, and returns what
// the hob is set to.
func (b *plainBath) suffer(h hands, set float64) float64 {
	b.water = math.Max(.05, b.water-h.ladle)
	b.waterC = (b.waterC*b.water + (b.boilingC-4)*h.kettle) / (b.water + h.kettle)
	b.water += h.kettle
	if h.turnUp {
		return b.ramp
	}
	return set
}

// note keeps when the water was low, the base bare and the pan dry.
func (b *plainBath) note(n *neglect, at time.Duration) {
	ring := plainDensity * (circle(b.pan) - circle(b.dish))
	if n.low == bench.Never && b.water < b.bare()+ring*nearBase/1000 {
		n.low = at
	}
	switch {
	case b.water >= b.bare():
		n.bare = bench.Never
	case n.bare == bench.Never:
		n.bare = at
	}
	if n.dry == bench.Never && b.water <= 0 {
		n.dry = at
	}
}
