package steam_test

import (
	"encoding/binary"
	"flag"
	"fmt"
	"hash/fnv"
	"math"
	"os"
	"strings"
	"testing"

	"bainward/rules/steam"
)

var update = flag.Bool("update", false, "rewrite testdata/bits.txt from what this machine computes")

// TestSameBits holds the transcript of this package. A test of rules/repeatable
// runs it on other processors.
func TestSameBits(t *testing.T) {
	got := transcript()
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
		t.Errorf("other bits than in testdata/bits.txt; got\n%s\nwant\n%s", got, want)
	}
}

// transcript writes, for each function, five results in full and the FNV-1a
// hash of the bits of twenty thousand.
func transcript() string {
	var b strings.Builder
	for _, c := range []struct {
		name      string
		f         func(float64) float64
		low, high float64
	}{
		{"BoilingPoint", steam.BoilingPoint, 1000, 120000},
		{"VapourPressure", steam.VapourPressure, -40, 370},
		{"LatentHeat", steam.LatentHeat, -10, 140},
		{"Density", steam.Density, -10, 140},
		{"HeatCapacity", steam.HeatCapacity, -10, 140},
		{"StandardPressure", steam.StandardPressure, -2000, 11000},
		{"StillAirEvaporation", func(x float64) float64 { return steam.StillAirEvaporation(x, 21.3, 0.47, 98765) }, 0, 105},
	} {
		const n = 20000
		h := fnv.New64a()
		for i := range n + 1 {
			x := c.low + float64((c.high-c.low)*(float64(i)/n))
			bits := math.Float64bits(c.f(x))
			if i%(n/4) == 0 {
				fmt.Fprintf(&b, "%-20s %016x %016x\n", c.name, math.Float64bits(x), bits)
			}
			h.Write(binary.BigEndian.AppendUint64(nil, bits))
		}
		fmt.Fprintf(&b, "%-20s %d results, FNV-1a %016x\n", c.name, n+1, h.Sum64())
	}
	return b.String()
}
