package app

import (
	"strings"
	"testing"
	"time"

	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/alarm"
)

func TestADeedThatCannotHaveHappenedIsRefusedInPlainWords(t *testing.T) {
	for _, c := range []struct{ after, deed, want string }{
		{"", "strain", "strain does not fit now: the batch is idle; it wants a lit bath"},
		{"", "turn-down", "turn-down does not fit now: the batch is idle; it wants a lit bath"},
		{"", "top-up 0.3 kg", "top-up does not fit now: the batch is idle; nothing is in hand; fill begins a batch"},
		{"", "abandon", "abandon does not fit now: the batch is idle; nothing is in hand; fill begins a batch"},
		{"", "bottle 600 ml", "bottle does not fit now: the batch is idle; strain first"},
		{"", "recharge 200 g", "recharge does not fit now: the batch is idle; a next maceration begins after straining"},
		{"fill 1.8 kg", "bottle", "strain first"},
		{"fill 1.8 kg; light", "light", "light does not fit now: the batch is heating; it is lit already"},
		{"fill 1.8 kg; light", "bottle", "strain first"},
		{"fill 1.8 kg; light", "recharge", "a next maceration begins after straining"},
		{"fill 1.8 kg; light; strain", "strain", "the batch is straining; it wants a lit bath"},
		{"fill 1.8 kg; light; strain; bottle", "top-up", "top-up does not fit now: the batch is bottled; nothing is in hand; fill begins a batch"},
		{"fill 1.8 kg; light; abandon", "turn-down", "the batch is abandoned; it wants a lit bath"},
	} {
		t.Run(c.after+" then "+c.deed, func(t *testing.T) {
			k := newKitchen(t)
			k.did(c.after)
			before := len(k.entries())
			e, err := rules.ParseEvent(c.deed)
			if err != nil {
				t.Fatal(err)
			}
			err = k.app.Event(t.Context(), "north", e, "maker")
			if err == nil || !strings.HasSuffix(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
			if n := len(k.entries()); n != before {
				t.Errorf("%d entries were written", n-before)
			}
		})
	}
}

func TestTheRecipeIsChosenBeforeLightingOnly(t *testing.T) {
	k := newKitchen(t)
	choose := func(recipe string) error { return k.app.Recipe(t.Context(), "north", recipe, "Robin") }
	if err := choose("marigold"); err != nil {
		t.Errorf("with nothing in hand: %v", err)
	}
	if err := choose("nettle"); err == nil || !strings.Contains(err.Error(), "ribwort, marigold") {
		t.Errorf("an unknown recipe gives %v, want those that there are", err)
	}
	k.did("fill 1.8 kg")
	if err := choose("ribwort"); err != nil {
		t.Errorf("filled: %v", err)
	}
	k.did("light")
	if err := choose("marigold"); err == nil || !strings.Contains(err.Error(), "fixed once the bath is lit") {
		t.Errorf("lit: %v", err)
	}
	if got := k.shown().Recipe.Name; got != "ribwort" {
		t.Errorf("the batch is made by %q", got)
	}
	k.restart(time.Second)
	if got := k.shown().Recipe.Name; got != "ribwort" {
		t.Errorf("after a restart the batch is made by %q", got)
	}
}

func TestHeatThatNobodyEnteredIsEnteredAsSeen(t *testing.T) {
	k := newKitchen(t)
	k.did("fill 1.8 kg; charge")
	for c := 20.0; c < 60; c += 0.5 {
		k.read(20, c)
		k.poll(10 * time.Second)
	}
	if p := k.bath().Rules.Phase(); p != rules.Heating {
		t.Fatalf("the batch is %s", p)
	}
	found := 0
	for _, e := range k.entries() {
		var b record.Event
		if e.Kind != record.KindEvent || e.Decode(&b) != nil || b.Text != "light" {
			continue
		}
		found++
		if b.By != "seen, not logged" || b.Batch != k.batch() {
			t.Errorf("the record says that %q lit batch %q", b.By, b.Batch)
		}
	}
	if found != 1 {
		t.Errorf("%d times lit in the record, want once", found)
	}
	checkRefold(t, k.entries())
}

func TestHeatUnderAnEmptyHobOpensABatch(t *testing.T) {
	k := newKitchen(t)
	k.read(60, 95)
	k.kill()
	k.start()
	k.poll(time.Second)
	if k.batch() == "" || !k.bath().Rules.Phase().Lit() {
		t.Errorf("hot water at the first look: batch %q is %s", k.batch(), k.bath().Rules.Phase())
	}
	k.restart(time.Second)
	if k.batch() == "" || !k.bath().Rules.Phase().Lit() {
		t.Errorf("after a restart batch %q is %s", k.batch(), k.bath().Rules.Phase())
	}
	checkRefold(t, k.entries())
}

func TestAnOrderToAnAlarmThatMakesNoSenseIsRefused(t *testing.T) {
	k := newKitchen(t)
	k.poll(time.Second)
	before := len(k.entries())
	for _, c := range []struct {
		order alarm.Command
		want  string
	}{
		{alarm.Command{Alarm: rules.DishBare, Action: alarm.Acknowledge}, "nothing to acknowledge"},
		{alarm.Command{Alarm: rules.DishBare, Action: alarm.Shelve, For: time.Hour, Reason: "lunch"}, "shelve it for 1 s to 30m0s"},
		{alarm.Command{Alarm: rules.DishBare, Action: alarm.Shelve, For: time.Minute}, "say why"},
		{alarm.Command{Alarm: rules.IDCount, Action: alarm.Acknowledge}, "no such alarm"},
	} {
		if err := k.app.Alarm(t.Context(), "north", c.order, "maker"); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v gives %v, want %q", c.order, err, c.want)
		}
	}
	if n := len(k.entries()); n != before {
		t.Errorf("%d entries were written", n-before)
	}
}
