package publish

import (
	"testing"
	"time"
)

// A checkpoint reaches the sibling, also one that comes later, and what the
// sibling signed comes back.
func TestACheckpointIsHeldElsewhereAndComesBackCosigned(t *testing.T) {
	eachBroker(t, func(t *testing.T, _ testBroker, address string) {
		heard := make(chan string, 10)
		tells := func(what string) func(string, []byte) {
			return func(site string, document []byte) { heard <- what + " " + site + " " + string(document) }
		}
		expect := func(want string) {
			t.Helper()
			select {
			case got := <-heard:
				if got != want {
					t.Fatalf("heard %q, want %q", got, want)
				}
			case <-time.After(patience):
				t.Fatalf("never heard %q", want)
			}
		}
		yard := publisher(t, address, func(o *Options) {
			o.Siblings, o.OnSibling = []string{"Long Meadow"}, func(string, string) {}
			o.OnCheckpoint, o.OnCosigned = tells("checkpoint"), tells("cosigned")
		})
		defer stop(t, yard)
		yard.Checkpoint([]byte(`{"note":"one"}`))
		e := listen(t, address)
		if m := e.hear(t, "alder-yard/checkpoint", `{"note":"one"}`); !m.Retained() {
			e = listen(t, address)
			e.hear(t, "alder-yard/checkpoint", `{"note":"one"}`)
		}
		meadow := publisher(t, address, func(o *Options) {
			o.Site, o.Siblings, o.OnSibling = "Long Meadow", []string{"Alder Yard"}, func(string, string) {}
			o.OnCheckpoint, o.OnCosigned = tells("checkpoint"), tells("cosigned")
		})
		defer stop(t, meadow)
		expect(`checkpoint Alder Yard {"note":"one"}`)
		meadow.Cosign("Alder Yard", []byte(`{"note":"one, cosigned"}`))
		expect(`cosigned Long Meadow {"note":"one, cosigned"}`)
	})
}

// Somebody who listens for checkpoints must listen for signatures, too.
func TestHalfAWitnessIsRefused(t *testing.T) {
	_, err := New(Options{URL: "mqtt://127.0.0.1:1883", Site: "Alder Yard", OnCheckpoint: func(string, []byte) {}})
	if err == nil {
		t.Error("it was taken")
	}
}
