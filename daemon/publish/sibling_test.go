package publish

import (
	"strings"
	"testing"
	"time"
)

// A daemon whose cable is cut is missed by its sibling at the same broker, by
// its last will, and is heard again when it is back.
func TestASiblingThatDiesIsMissed(t *testing.T) {
	eachBroker(t, func(t *testing.T, _ testBroker, address string) {
		heard := make(chan string, 10)
		expect := func(want string) {
			t.Helper()
			select {
			case got := <-heard:
				if got != want {
					t.Fatalf("heard %q of the sibling, want %q", got, want)
				}
			case <-time.After(patience):
				t.Fatalf("never heard %q of the sibling", want)
			}
		}
		cable := layCable(t, address)
		far := func(o *Options) { o.Site, o.Retry = "Long Meadow", time.Hour }
		other := publisher(t, cable.address(), far)
		e := listen(t, address)
		e.hear(t, "long-meadow/status", "online")
		p := publisher(t, address, func(o *Options) {
			o.Siblings = []string{"Long Meadow"}
			o.OnSibling = func(site, status string) { heard <- site + " " + status }
		})
		defer stop(t, p)
		expect("Long Meadow online") // the broker kept its last word
		cable.cut()
		expect("Long Meadow offline")
		stop(t, other)
		again := publisher(t, address, far)
		defer stop(t, again)
		expect("Long Meadow online")
	})
}

// A sibling that is oneself, or that has no name, or that nobody hears of, is a
// mistake in the site file or in the program.
func TestOnlyOtherSitesAreWatchedAndSomebodyMustListen(t *testing.T) {
	for want, change := range map[string]func(*Options){
		"is this site itself":  func(o *Options) { o.Siblings = []string{"alder yard"} },
		"no letter or digit":   func(o *Options) { o.Siblings = []string{"--"} },
		"OnSibling is missing": func(o *Options) { o.Siblings, o.OnSibling = []string{"Long Meadow"}, nil },
	} {
		o := Options{URL: "mqtt://127.0.0.1:1883", Site: "Alder Yard", OnSibling: func(string, string) {}}
		change(&o)
		if _, err := New(o); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want %q", err, want)
		}
	}
}

// The word for a socket arrives, is refused while the broker is away, and when
// the cable is cut the broker itself says off, and goes on saying it.
func TestASocketIsToldOffWhenTheDaemonIsCutOff(t *testing.T) {
	eachBroker(t, func(t *testing.T, _ testBroker, address string) {
		cable := layCable(t, address)
		e := listen(t, address)
		l, err := OpenSocket(Options{URL: "mqtt://" + cable.address(), Site: "Alder Yard", Retry: 10 * time.Millisecond}, "bainward/socket/set", "OFF")
		if err != nil {
			t.Fatal(err)
		}
		defer l.Close()
		end := time.Now().Add(patience)
		for err = l.Publish("bainward/socket/set", "ON", false); err != nil && time.Now().Before(end); {
			err = l.Publish("bainward/socket/set", "ON", false)
		}
		if err != nil {
			t.Fatal(err)
		}
		if m := e.hear(t, "socket/set", "ON"); m.Retained() {
			t.Error("the permission was retained")
		}
		cable.cut()
		e.hear(t, "socket/set", "OFF")
		if m := listen(t, address).hear(t, "socket/set", "OFF"); !m.Retained() {
			t.Error("who comes later does not find that the socket is off")
		}
		if _, err := OpenSocket(Options{URL: "mqtt://" + address, Site: "Alder Yard"}, "socket/#", "OFF"); err == nil || !strings.Contains(err.Error(), "stand for other topics") {
			t.Errorf("a filter was taken for a topic: %v", err)
		}
	})
}
