package app

import (
	"math"
	"testing"
	"time"

	"bainward/daemon/record"
	"bainward/rules"
)

// simmer brings the kitchen's bath to a steady simmer of half an hour.
func (k *kitchen) simmer() {
	k.did("fill 1.8 kg; charge; light")
	for c := 20.0; c < 99; c += 0.5 {
		k.read(math.Max(20, c-25), c)
		k.poll(5 * time.Second)
	}
	for i := range 360 {
		k.read(80+float64(i)/60, 99+float64(i%3)/16)
		k.poll(5 * time.Second)
	}
}

// dip is a jug of cold water: a fast fall of 14 K and the climb back.
func (k *kitchen) dip() {
	for i := range 120 {
		at := 5 * float64(i)
		fall := 14 * (1 - math.Exp(-at/15)) * math.Max(0, 1-at/420)
		k.read(86-fall/14, math.Round((99-fall)*16)/16)
		k.poll(5 * time.Second)
	}
}

// topUps lists who entered the top-ups in the record.
func (k *kitchen) topUps() (by []string) {
	for _, e := range k.entries() {
		var b record.Event
		if e.Kind == record.KindEvent && e.Decode(&b) == nil {
			if said, err := b.Event(); err == nil && said.Kind == rules.TopUp {
				by = append(by, b.By)
			}
		}
	}
	return by
}

func TestWaterThatNobodyEnteredIsEnteredAsSeen(t *testing.T) {
	k := newKitchen(t)
	k.simmer()
	before := k.shown().Estimate.WaterKg.P50
	k.dip()
	if by := k.topUps(); len(by) != 1 || by[0] != seenBy {
		t.Fatalf("top-ups in the record: %q, want one that was seen and not logged", by)
	}
	if after := k.shown().Estimate.WaterKg.P50; after <= before {
		t.Errorf("the water was thought to be %.2f kg and is %.2f kg after a jug", before, after)
	}
	k.restart(time.Second)
	if by := k.topUps(); len(by) != 1 {
		t.Errorf("after a restart %d top-ups stand in the record", len(by))
	}
	checkRefold(t, k.entries())
}

// The maker who answers "how much was it?" must not have the jug counted twice.
func TestWaterEnteredAfterItWasSeenIsOneJug(t *testing.T) {
	seen, told := newKitchen(t), newKitchen(t)
	for _, k := range []*kitchen{seen, told} {
		k.simmer()
		k.dip()
	}
	before := seen.shown().Estimate.WaterKg
	told.did("top-up 0.3 kg")
	told.poll(time.Second)
	after := told.shown().Estimate.WaterKg
	t.Logf("by the dip %.2f kg (%.2f to %.2f), told %.2f kg (%.2f to %.2f)", before.P50, before.P10, before.P90, after.P50, after.P10, after.P90)
	if more := after.P50 - before.P50; math.Abs(more) > 0.25 {
		t.Errorf("saying how much a seen jug held moved the water from %.2f to %.2f kg", before.P50, after.P50)
	}
	checkRefold(t, told.entries())
}
