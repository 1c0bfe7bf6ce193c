package cooling_test

import (
	"flag"
	"fmt"
	"hash/fnv"
	"os"
	"testing"

	"bainward/rules/batch/cooling"
)

var update = flag.Bool("update", false, "rewrite testdata/bits.txt from what this machine computes")

// TestSameBits holds a hash of what is foretold of a dish, minute by minute, to
// the last bit. The readings are made of exact steps, for math.Exp of a test may
// differ between processors. A test of rules/repeatable runs it on others.
func TestSameBits(t *testing.T) {
	h := fnv.New64a()
	var p cooling.Predictor
	oil := 90.0
	for s := 0; s < 7200; s += 20 {
		oil -= float64((oil - 20) / 256)
		p.Add(cooling.Sample{AtS: float64(s), OilC: float64(int(oil*16)) / 16, RoomC: 20 + float64(s/900)/16})
		if s%600 == 0 {
			fmt.Fprintf(h, "%x\n", p.Until(cooling.BottleAboveRoomC))
		}
	}
	got := fmt.Sprintf("FNV-1a %016x, last %x\n", h.Sum64(), p.Until(cooling.BottleAboveRoomC))
	if *update {
		if err := os.WriteFile("testdata/bits.txt", []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile("testdata/bits.txt")
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("other bits than in testdata/bits.txt: got %swant %s", got, want)
	}
}
