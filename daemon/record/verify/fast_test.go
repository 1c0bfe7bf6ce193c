package verify

import (
	"bytes"
	"fmt"
	"os"
	"runtime/debug"
	"syscall"
	"testing"
	"time"
)

// full says that a test may take as long as it needs.
func full() bool { return os.Getenv("BAINWARD_FULL") == "1" }

// days writes a record of so many readings: two baths read every second, each lit
// for three hours out of eight, with a checkpoint at every batch's end.
func days(t testing.TB, readings int) (path string) {
	s := newScribe(t, t.TempDir())
	y := newYard(t, s, "north", "south")
	y.raw("", "key", `{"vkey":""}`)
	y.start("test")
	for left := readings; left > 0; {
		for _, part := range []struct {
			long time.Duration
			does string
		}{{time.Hour, "fill 1.85 kg; charge 220 g; light"}, {2 * time.Hour, "top-up 0.6 kg"}, {time.Hour, "strain"}, {4 * time.Hour, "bottle 640 ml"}} {
			for bath := range y.baths {
				y.did(bath, part.does)
			}
			long := min(part.long, time.Duration(left+1)/2*time.Second)
			y.poll(time.Second, long)
			if left -= 2 * int(long/time.Second); left <= 0 {
				break
			}
		}
		y.closeBatch(y.baths[0])
		y.closeBatch(y.baths[1])
		y.write()
		y.checkpoint()
	}
	return s.close()
}

// cost is what a run took.
type cost struct {
	processor time.Duration // of all threads
	peakMB    int
}

// costOf runs f and returns what it took. The clock says little on a machine that
// others use, too; the time of the processors does.
func costOf(t testing.TB, f func()) (c cost) {
	debug.FreeOSMemory()
	// 5 sets the peak back to what there is now (proc(5)).
	if err := os.WriteFile("/proc/self/clear_refs", []byte("5"), 0); err != nil {
		t.Logf("the peak is that of writing, too: %v", err)
	}
	before := processorTime(t)
	f()
	c.processor = processorTime(t) - before
	status := must(os.ReadFile("/proc/self/status"))
	_, line, _ := bytes.Cut(status, []byte("VmHWM:"))
	kb := 0
	fmt.Sscan(string(line), &kb)
	c.peakMB = kb / 1024
	return c
}

func processorTime(t testing.TB) time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		t.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// A million readings are verified in seconds, ten million in ten times that, and
// memory does not grow with them.
func TestHowFast(t *testing.T) {
	if testing.Short() {
		t.Skip("it measures")
	}
	sizes := []int{1_000_000}
	if full() {
		sizes = append(sizes, 10_000_000)
	}
	for _, n := range sizes {
		path := days(t, n)
		t.Logf("%d readings, %d MB", n, must(os.Stat(path)).Size()>>20)
		for _, skip := range []bool{true, false} {
			var r Report
			c := costOf(t, func() { r = verified(t, path, Options{Version: "test", SkipFold: skip}) })
			if !r.Clean || r.Totals.Readings < int64(n) {
				t.Fatalf("%d readings, %+v", r.Totals.Readings, r.Findings)
			}
			what := "tree and fold"
			if skip {
				what = "tree alone"
			}
			each := c.processor.Seconds() / float64(r.Totals.Readings)
			t.Logf("%-13s %6.1f s by the clock, %6.1f s of processors, %.2f µs a reading, at most %d MB; 10^8 on two processors: %.1f min",
				what, r.Totals.Seconds, c.processor.Seconds(), 1e6*each, c.peakMB, 1e8*each/2/60)
			if c.peakMB > 400 {
				t.Errorf("it took %d MB", c.peakMB)
			}
		}
	}
}
