package app

import (
	"strings"
	"testing"
	"time"

	"bainward/daemon/site"
	"bainward/rules/balance"
)

// A maceration with a turn-down and a top-up teaches the heat of this bath's
// simmer; the record holds it from the strain on, and the next batch, a restart
// and a fold by somebody else all start from it.
func TestWhatABatchTaughtIsInTheRecordAndTheNextOneStartsFromIt(t *testing.T) {
	k := newKitchen(t)
	if p := k.app.baths[0].cfg.Prior; p != (balance.Prior{}) {
		t.Fatalf("a new bath knows %+v", p)
	}
	k.hold()
	k.did("turn-down")
	k.pollFor(10 * time.Minute)
	k.did("top-up 0.3 kg")
	k.pollFor(35 * time.Minute)
	k.did("strain; bottle 640 ml")
	learned := k.app.baths[0].cfg.Prior
	if learned.SimmerW <= 0 || learned.BareKg <= 0 || learned.BareSD <= 0 {
		t.Fatalf("the batch taught %+v", learned)
	}
	k.restart(time.Second)
	if p := k.app.baths[0].cfg.Prior; p != learned {
		t.Errorf("after a restart the bath knows %+v, want %+v", p, learned)
	}
	k.pollFor(61 * time.Minute)
	if err := k.app.Recipe(t.Context(), "north", "marigold", "Robin"); err != nil {
		t.Fatal(err)
	}
	k.hold()
	if p := k.app.baths[0].cfg.Prior; p != learned {
		t.Errorf("the next batch starts from %+v, want %+v", p, learned)
	}
	checkRefold(t, k.entries())
}

// Another pan is another bath: what the old one taught is not heard.
func TestWhatWasLearnedGoesWithThePan(t *testing.T) {
	k := newKitchen(t)
	k.hold()
	k.did("turn-down")
	k.pollFor(10 * time.Minute)
	k.did("strain; bottle 640 ml")
	if k.app.baths[0].cfg.Prior == (balance.Prior{}) {
		t.Fatal("the batch taught nothing")
	}
	k.pollFor(61 * time.Minute)
	k.kill()
	s, err := site.Parse("alder.toml", []byte(strings.Replace(kitchenSite, "_mm = 250", "_mm = 280", 1)))
	if err != nil {
		t.Fatal(err)
	}
	k.site = s
	k.start()
	if p := k.app.baths[0].cfg.Prior; p != (balance.Prior{}) {
		t.Errorf("a wider pan starts from what the old one taught: %+v", p)
	}
}
