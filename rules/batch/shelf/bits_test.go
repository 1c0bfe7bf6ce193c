package shelf_test

import (
	"fmt"
	"testing"

	"bainward/rules/batch/shelf"
)

// TestSameBits holds mean kinetic temperatures to the last bit. A test of
// rules/repeatable runs it on other processors.
func TestSameBits(t *testing.T) {
	got := fmt.Sprintf("%x %x", shelf.MeanKinetic([]float64{20, 20, 25, 30}), shelf.MeanKineticOver([]float64{4.0625, 16}, []float64{700, 44}))
	const want = "0x1.8b36d8bf8d23p+04 0x1.5f661e00ecp+02"
	if got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	sum := shelf.Kinetic{}.With(4.0625, 700).With(16, 44)
	got = fmt.Sprintf("%x %x", sum.And(sum.Part(0.3)).Celsius(), shelf.Fridge.Sooner(sum.Celsius(), 31))
	if want := "0x1.5f661e00ecp+02 0x1.1283f5d653cdfp+00"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}
