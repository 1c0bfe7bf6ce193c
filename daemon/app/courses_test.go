package app

import (
	"fmt"
	"testing"
	"time"

	"bainward/daemon/record"
	"bainward/rules/batch/ledger"
)

// courseNow is what a page shows of how a batch went.
func (k *kitchen) courseNow(number string) ledger.Course {
	k.t.Helper()
	c, err := k.app.Course(k.t.Context(), number)
	if err != nil {
		k.t.Fatal(err)
	}
	return c
}

// corrects puts a correction into the record and lets it count, as another program that
// shares the loop would.
func (k *kitchen) corrects(entry int64) {
	k.t.Helper()
	d := k.app.draft()
	d.add("north", record.Correction{Voids: entry, Reason: "a slip", By: "Robin"})
	if err := k.app.commit(k.t.Context(), d); err != nil {
		k.t.Fatal(err)
	}
}

// An open batch is told as it stands at every load: an event and its taking back show
// at once.
func TestAnOpenBatchIsNeverToldFromMemory(t *testing.T) {
	k := newKitchen(t)
	k.hold()
	number := k.batch()
	before := len(k.courseNow(number).Deeds)
	k.did("top-up 200 ml")
	if c := k.courseNow(number); len(c.Deeds) != before+1 || c.TopUps != 1 {
		t.Errorf("after a top-up: %d deeds, %d top-ups", len(c.Deeds), c.TopUps)
	}
	if err := k.app.Void(t.Context(), "north", k.entry("top-up 200 ml"), "a slip", "Robin"); err != nil {
		t.Fatal(err)
	}
	if c := k.courseNow(number); c.TopUps != 0 || !c.Deeds[before].Voided {
		t.Errorf("taken back, it is %+v, with %d top-ups", c.Deeds[before], c.TopUps)
	}
	if len(k.app.courses.kept) != 0 {
		t.Error("the course of an open batch was kept")
	}
}

// Of a closed batch the course is kept, and a correction that comes later shows in the
// next load, whichever entry it takes out.
func TestALaterCorrectionShowsInTheCourse(t *testing.T) {
	k := newKitchen(t)
	k.hold()
	number := k.batch()
	k.did("top-up 200 ml")
	k.pollFor(30 * time.Minute)
	k.did("strain; bottle 600 ml")
	if open := k.courseNow(number); open.Verdict != "held" && open.Verdict != "open" {
		t.Fatalf("it went %s", open.Verdict)
	}
	k.pollFor(70 * time.Minute)
	if first := k.courseNow(number); first.TopUps != 1 || len(k.app.courses.kept) != 1 {
		t.Fatalf("%d top-ups, %d courses kept", first.TopUps, len(k.app.courses.kept))
	}
	k.corrects(k.entry("top-up 200 ml"))
	again := k.courseNow(number)
	if again.TopUps != 0 {
		t.Errorf("after the correction it still tells of %d top-ups", again.TopUps)
	}
	want, err := ReadCourse(t.Context(), k.app.record.Reader, number)
	if err != nil || fmt.Sprintf("%+v", deref(again)) != fmt.Sprintf("%+v", deref(want)) {
		t.Errorf("kept\n%+v\nread\n%+v, %v", again, want, err)
	}
	if len(k.app.courses.kept) != 1 {
		t.Errorf("%d courses of one batch are kept", len(k.app.courses.kept))
	}
}

// deref leaves out what is compared by its address.
func deref(c ledger.Course) ledger.Course {
	c.OilMaxC, c.Passes = nil, nil
	return c
}

// The memory is bounded: the batch that nobody asked for longest goes first.
func TestFewCoursesAreKept(t *testing.T) {
	var c courses
	key := func(n int) courseKey { return courseKey{number: fmt.Sprint(n), closed: int64(n)} }
	for n := range coursesKept {
		c.keep(key(n), ledger.Course{TopUps: n})
	}
	if _, ok := c.find(key(0)); !ok {
		t.Fatal("the first is gone already")
	}
	c.keep(key(99), ledger.Course{TopUps: 99})
	_, second := c.find(key(1))
	first, ok := c.find(key(0))
	if second || !ok || first.TopUps != 0 || len(c.kept) != coursesKept {
		t.Errorf("%d are kept; the first %v, the second %v", len(c.kept), ok, second)
	}
}

// What the second look at a long batch costs: BenchmarkCourse/first folds 20,000
// readings, BenchmarkCourse/second finds them folded.
func BenchmarkCourse(b *testing.B) {
	k := newKitchen(b)
	k.hold()
	number := k.batch()
	for range 20_000 - 120 {
		k.poll(time.Second)
	}
	k.did("strain; bottle 600 ml")
	k.pollFor(70 * time.Minute)
	b.Run("first", func(b *testing.B) {
		for b.Loop() {
			k.app.courses.kept = nil
			k.courseNow(number)
		}
	})
	b.Run("second", func(b *testing.B) {
		k.courseNow(number)
		for b.Loop() {
			k.courseNow(number)
		}
	})
}
