package app

import (
	"testing"
	"time"

	"bainward/daemon/record"
	"bainward/daemon/site"
)

// Readings between batches are thinned out once they are as old as the site file
// says, those of a batch stay, and never while a bath is lit.
func TestOldReadingsBetweenBatchesAreThinnedOut(t *testing.T) {
	k := newKitchenWith(t, func(o *Options) { o.Site.Thin = site.Thin{After: 40 * 24 * time.Hour, Every: 10 * time.Minute} })
	k.read(20, 20)
	k.pollFor(30 * time.Minute)
	k.hold()
	k.pollFor(10 * time.Minute)
	k.read(25, 25)
	end(k)
	kinds := func() (readings int, thinned int64) {
		t.Helper()
		for _, e := range k.entries() {
			var b record.Thinned
			switch {
			case e.Kind == record.KindReading:
				readings++
			case e.Kind == record.KindThinned && e.Decode(&b) == nil:
				thinned += b.Count
			}
		}
		return readings, thinned
	}
	k.poll(time.Hour)
	before, thinned := kinds()
	if thinned != 0 {
		t.Fatalf("%d readings were thinned out on the day", thinned)
	}
	k.did("fill 1.8 kg; charge 220 g; light")
	k.poll(time.Second)
	k.poll(41 * 24 * time.Hour)
	k.poll(2 * time.Hour)
	if _, thinned = kinds(); thinned != 0 {
		t.Fatalf("%d readings were thinned out while a bath was lit", thinned)
	}
	end(k)
	for range 5 {
		k.poll(time.Second)
	}
	after, thinned := kinds()
	if thinned < 100 || int64(before+10)-thinned < int64(after)-10 {
		t.Errorf("%d readings were thinned out; there were %d and are %d", thinned, before, after)
	}
	first := firstBatch(t, k)
	if n := readingsOf(t, k, first); n < 180 {
		t.Errorf("of the batch %d readings are left, want all of its half hour", n)
	}
}

func firstBatch(t *testing.T, k *kitchen) record.BatchEntries {
	t.Helper()
	all, err := k.app.record.Batches(t.Context())
	if err != nil || len(all) == 0 {
		t.Fatalf("batches: %v, %v", all, err)
	}
	return all[0]
}

func readingsOf(t *testing.T, k *kitchen, b record.BatchEntries) (n int) {
	t.Helper()
	for e, err := range k.app.record.OfBatch(t.Context(), b) {
		if err != nil {
			t.Fatal(err)
		}
		if e.Kind == record.KindReading {
			n++
		}
	}
	return n
}
