package repeatable_test

import (
	"encoding/binary"
	"flag"
	"fmt"
	"hash/fnv"
	"math"
	"os"
	"strings"
	"testing"

	"bainward/rules/repeatable"
)

var update = flag.Bool("update", false, "rewrite testdata/bits.txt from what this machine computes")

// TestSameBits holds the transcript of this package. machines_test.go runs it
// on other processors.
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
		{"Exp", repeatable.Exp, -746, 710},
		{"Log", func(x float64) float64 { return repeatable.Log(repeatable.Exp(x)) }, -744, 709},
		{"Pow", func(x float64) float64 { return repeatable.Pow(x, 5.25588) }, 0, 40},
		{"Cbrt", repeatable.Cbrt, -1000, 1000},
		{"Erf", repeatable.Erf, -6, 6},
		{"Erfc", repeatable.Erfc, -6, 28},
		{"Phi", repeatable.Phi, -39, 9},
		{"Quantile", repeatable.Quantile, 0, 1},
	} {
		const n = 20000
		h := fnv.New64a()
		for i := range n + 1 {
			x := c.low + float64((c.high-c.low)*(float64(i)/n))
			bits := math.Float64bits(c.f(x))
			if i%(n/4) == 0 {
				fmt.Fprintf(&b, "%-8s %016x %016x\n", c.name, math.Float64bits(x), bits)
			}
			h.Write(binary.BigEndian.AppendUint64(nil, bits))
		}
		fmt.Fprintf(&b, "%-8s %d results, FNV-1a %016x\n", c.name, n+1, h.Sum64())
	}
	return b.String()
}
