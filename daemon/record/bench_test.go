package record

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"bainward/rules"
)

// BenchmarkPoll commits one poll of two baths, as the daemon does every second.
func BenchmarkPoll(b *testing.B) {
	r := openIn(b, b.TempDir())
	var took []time.Duration
	at := time.Duration(0)
	b.ReportAllocs()
	for b.Loop() {
		at += time.Second
		poll := []Entry{OfFrame("north", frameAt(at)), OfFrame("south", frameAt(at))}
		start := time.Now()
		if _, err := r.Append(b.Context(), poll); err != nil {
			b.Fatal(err)
		}
		took = append(took, time.Since(start))
	}
	slices.Sort(took)
	for name, share := range map[string]float64{"p50-ms": 0.5, "p99-ms": 0.99, "max-ms": 1} {
		i := min(int(share*float64(len(took))), len(took)-1)
		b.ReportMetric(float64(took[i])/float64(time.Millisecond), name)
	}
}

const manyReadings = 100_000

// fill writes some fourteen hours of two baths' readings, in large polls to be
// quick about it, with the jitter that a poll has.
func fill(b *testing.B, r *Record) {
	b.Helper()
	for at := time.Duration(0); at < manyReadings/2*time.Second; {
		var poll []Entry
		for range 1000 {
			f := frameAt(at + at%7*Tick)
			poll = append(poll, OfFrame("north", f), OfFrame("south", f))
			at += time.Second
		}
		appendTo(b, r, poll...)
	}
}

// BenchmarkSize reports what a reading takes on disk once the record is closed.
func BenchmarkSize(b *testing.B) {
	for b.Loop() {
		dir := b.TempDir()
		r := openIn(b, dir)
		empty := must(os.Stat(filepath.Join(dir, fileName))).Size()
		fill(b, r)
		if err := r.Close(); err != nil {
			b.Fatal(err)
		}
		full := must(os.Stat(filepath.Join(dir, fileName))).Size()
		b.ReportMetric(float64(full-empty)/manyReadings, "B/reading")
	}
}

// BenchmarkRead reads all entries in order.
func BenchmarkRead(b *testing.B) {
	r := openIn(b, b.TempDir())
	fill(b, r)
	for b.Loop() {
		n := 0
		for _, err := range r.Entries(b.Context(), 1, 0) {
			if err != nil {
				b.Fatal(err)
			}
			n++
		}
		if n != manyReadings {
			b.Fatalf("%d entries", n)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/manyReadings, "ns/entry")
}

// BenchmarkTrace draws five hours of one of two baths in 600 points.
func BenchmarkTrace(b *testing.B) {
	r := openIn(b, b.TempDir())
	fill(b, r)
	for b.Loop() {
		if _, err := r.Trace(b.Context(), "north", Window{From: time.Hour, To: 6 * time.Hour, Points: 600}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkRestart finds and reads again a batch of five hours.
func BenchmarkRestart(b *testing.B) {
	r := openIn(b, b.TempDir())
	appendTo(b, r, must(Of(0, nine, "north", Config{Config: rules.Config{Bath: "north"}})), must(Of(0, nine, "north", Batch{State: Opened, Number: "1"})))
	for at := time.Duration(0); at < 5*time.Hour; at += time.Second {
		if at%time.Hour == 0 {
			var poll []Entry
			for s := range time.Duration(3600) {
				poll = append(poll, OfFrame("north", frameAt(at+s*time.Second)), OfFrame("south", frameAt(at+s*time.Second)))
			}
			appendTo(b, r, poll...)
		}
	}
	for b.Loop() {
		n := 0
		for _, err := range r.SinceBatch(b.Context(), "north") {
			if err != nil {
				b.Fatal(err)
			}
			n++
		}
		if n != 5*3600+2 {
			b.Fatalf("%d entries", n)
		}
	}
}
