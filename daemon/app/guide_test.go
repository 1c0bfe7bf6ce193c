package app

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"

	"bainward/daemon/record"
	"bainward/dashboards"
	"bainward/rules/batch/guide"
	"bainward/rules/batch/ledger"
)

// steps returns the guide's steps as programs read them.
func (k *kitchen) steps() (all []string) {
	k.t.Helper()
	g, err := k.app.Guide(k.t.Context(), "north")
	if err != nil {
		k.t.Fatal(err)
	}
	for _, s := range g.Steps {
		text, err := json.Marshal(s)
		if err != nil {
			k.t.Fatal(err)
		}
		all = append(all, string(text))
	}
	return all
}

// present returns the step to which the maker is led.
func (k *kitchen) present() guide.Step {
	k.t.Helper()
	g, err := k.app.Guide(k.t.Context(), "north")
	if err != nil {
		k.t.Fatal(err)
	}
	return g.Present()
}

func (k *kitchen) mustBeAt(id string) guide.Step {
	k.t.Helper()
	s := k.present()
	if s.ID() != id {
		k.t.Fatalf("the maker is led to %s, want %s", s.ID(), id)
	}
	return s
}

func (k *kitchen) ticked(done ...string) {
	k.t.Helper()
	if err := k.app.Checklist(k.t.Context(), "north", done, "Robin"); err != nil {
		k.t.Fatal(err)
	}
}

// The guide follows what is recorded, and a restart changes nothing of it: not the
// step, not what was done, not the time that the oil takes to cool.
func TestTheGuideOutlivesARestart(t *testing.T) {
	k := newKitchen(t)
	same := func(id string) {
		t.Helper()
		k.mustBeAt(id)
		k.poll(10 * time.Second)
		before := k.steps()
		k.restart(0)
		k.poll(0)
		for i, after := range k.steps() {
			if after != before[i] {
				t.Errorf("at step %s a step was\n%s\nand after a restart is\n%s", id, before[i], after)
			}
		}
	}
	same("plan")
	k.ticked("stays", "gloves", "lid")
	same("fill")
	k.did("fill 1.85 kg")
	number := k.batch()
	same("herb-1")
	k.entered(
		ledger.Material{Batch: number, What: ledger.Herb, Name: "Plantago lanceolata, leaf", Lot: "A", Quantity: much(t, "220 g"), State: ledger.Fresh},
		ledger.Material{Batch: number, What: ledger.Oil, Name: "sunflower", Lot: "S-17", Quantity: much(t, "736 g")},
	)
	same("charge")
	k.did("charge; light")
	same("warm-1")
	for m := range 20 {
		k.read(min(92, 20+4*float64(m)), min(99.5, 20+5*float64(m)))
		k.pollFor(time.Minute)
	}
	same("hold-1")
	k.pollFor(30 * time.Minute)
	same("strain-1")
	k.did("strain")
	k.entered(ledger.Weighing{Batch: number, What: ledger.OilOut, Quantity: much(t, "640 g")}, ledger.Weighing{Batch: number, What: ledger.Marc, Quantity: much(t, "150 g")})
	for m := range 35 {
		k.read(90-float64(m), 60)
		k.pollFor(time.Minute)
	}
	same("cool")
	if s := k.present(); !strings.Contains(strings.Join(s.Say, " "), "By the way it cools that is in about ") {
		t.Errorf("no time is told: %q", s.Say)
	}
	checkRefold(t, k.entries())
}

// A checklist that is ticked before anything is in the pan is kept with the batch
// that begins next, and what nobody ticked stands in it as not done.
func TestTheChecklistIsKeptWithItsBatch(t *testing.T) {
	k := newKitchen(t)
	k.ticked("gloves")
	k.did("fill 1.85 kg")
	all, err := k.app.record.Checklists(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	got, ok := all.Of(k.batch())
	if !ok || got.By != "Robin" || len(got.Items) != len(guide.Items(true)) {
		t.Fatalf("the batch has %+v, %v", got, ok)
	}
	for _, i := range got.Items {
		if i.Done != (i.Key == "gloves") {
			t.Errorf("%s is done: %v", i.Key, i.Done)
		}
	}
	lines, err := k.app.Events(t.Context(), "north", 10)
	if err != nil {
		t.Fatal(err)
	}
	said := slices.ContainsFunc(lines, func(l dashboards.LogLine) bool {
		return strings.HasPrefix(l.Text, "checklist before lighting: 1 of 11; not done: herb-dry, clean") && strings.HasSuffix(l.Text, "(Robin)")
	})
	if !said {
		t.Errorf("the log says %+v", lines)
	}
}

// A checklist that nobody answers for, or that holds what is on no list, is refused.
func TestAChecklistIsRefused(t *testing.T) {
	k := newKitchen(t)
	before := k.count(record.KindChecklist)
	for want, c := range map[string]struct {
		who  string
		done []string
	}{"who enters it?": {"", []string{"gloves"}}, `no item "cape"`: {"Robin", []string{"gloves", "cape"}}} {
		if err := k.app.Checklist(t.Context(), "north", c.done, c.who); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want %q", err, want)
		}
	}
	if n := k.count(record.KindChecklist); n != before {
		t.Errorf("%d were recorded", n-before)
	}
	if _, err := k.app.Guide(t.Context(), "attic"); err == nil {
		t.Error("there is a guide to a bath that is not there")
	}
}

// An event that is taken back is to be done again, and what is not on the disk did
// not happen.
func TestTheGuideFollowsTheRecordAlone(t *testing.T) {
	k := newKitchen(t)
	k.ticked("gloves")
	mend := breakDisk(k)
	if err := k.app.Checklist(t.Context(), "north", []string{"lid"}, "Robin"); err == nil {
		t.Fatal("a checklist is recorded on a broken disk")
	}
	mend()
	k.did("fill 1.85 kg; charge; light")
	k.mustBeAt("warm-1")
	if err := k.app.Void(t.Context(), "north", k.entry("light"), "a slip", "Robin"); err != nil {
		t.Fatal(err)
	}
	k.mustBeAt("light")
	g, err := k.app.Guide(t.Context(), "north")
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range g.Steps {
		if s.Key == guide.Checklist && slices.Contains(s.Did, "not done: dry oven gloves are at hand") {
			t.Errorf("what was recorded is lost: %q", s.Did)
		}
	}
}

// The guide is made anew for every page that asks: it must be cheap.
func BenchmarkTheGuideWhileOilCools(b *testing.B) {
	k := newKitchen(b)
	k.hold()
	k.pollFor(30 * time.Minute)
	k.did("strain")
	for m := range 60 {
		k.read(90-float64(m), 60)
		k.pollFor(time.Minute)
	}
	for b.Loop() {
		if _, err := k.app.Guide(b.Context(), "north"); err != nil {
			b.Fatal(err)
		}
	}
}
