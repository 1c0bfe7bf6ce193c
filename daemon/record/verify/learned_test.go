package verify

import (
	"slices"
	"testing"
	"time"

	"bainward/daemon/record"
)

// What a maceration taught about its bath is folded, too: changed with the true
// key, it does not follow.
func TestWhatAMacerationTaughtIsFolded(t *testing.T) {
	s := newScribe(t, t.TempDir())
	y := newYard(t, s, "north")
	y.raw("", "key", `{"vkey":""}`)
	y.start("test")
	y.did(0, "fill 1.85 kg; charge 220 g; light")
	y.poll(time.Second, time.Hour)
	y.did(0, "turn-down")
	y.poll(time.Second, 2*time.Hour)
	y.did(0, "strain")
	y.poll(time.Second, time.Minute)
	y.checkpoint()
	k := kept{path: s.close(), privates: s.privates}
	if r := verified(t, k.path, Options{Version: "test"}); !r.Clean {
		t.Fatalf("before it: %+v", r.Findings)
	}
	changed := k.rewritten(t, k.privates, edit(t, record.KindConfig, 1, `"prior":{`, `"prior":{"x":1,`))
	r := verified(t, changed.path, Options{Version: "test"})
	if !slices.ContainsFunc(r.Findings, func(f Finding) bool { return f.Kind == DoesNotFollow }) {
		t.Errorf("found %+v", r.Findings)
	}
}
