package record

import (
	"math"
	"testing"
	"time"

	"bainward/sensors"
)

// hour is a record with an hour of readings of two baths, in which the oil of
// north peaks for one second and its bath probe is silent for ten minutes.
func hour(t *testing.T) *Record {
	t.Helper()
	r := openIn(t, t.TempDir())
	var entries []Entry
	for at := time.Duration(0); at <= time.Hour; at += time.Second {
		f := frameAt(at)
		f.Probes[sensors.Oil] = sensors.AtCelsius(90)
		if at == 1234*time.Second {
			f.Probes[sensors.Oil] = sensors.AtCelsius(131)
		}
		if at >= 30*time.Minute && at < 40*time.Minute {
			f.Probes[sensors.Bath] = sensors.Failed(sensors.Absent)
		}
		entries = append(entries, OfFrame("south", frameAt(at)), OfFrame("north", f))
	}
	appendTo(t, r, entries...)
	return r
}

func TestATraceLosesNoPeakAndNoGap(t *testing.T) {
	r := hour(t)
	for _, n := range []int{1, 7, 60, 600, 3601, 10000} {
		points, err := r.Trace(t.Context(), "north", Window{Points: n})
		if err != nil || len(points) == 0 || len(points) > n {
			t.Fatalf("%d points asked for, %d given, %v", n, len(points), err)
		}
		high, silent := math.Inf(-1), 0
		for i, p := range points {
			high = max(high, p.High[sensors.Oil].Celsius())
			if p.Low[sensors.Oil].Celsius() != 90 && n < 3601 {
				t.Errorf("low of point %d is %v", i, p.Low[sensors.Oil])
			}
			if p.Low[sensors.Bath].Fault == sensors.Absent && p.High[sensors.Bath].Fault == sensors.Absent {
				silent++
			}
			if i > 0 && p.At <= points[i-1].At {
				t.Errorf("point %d goes back", i)
			}
		}
		if math.Abs(high-131) > 1e-9 {
			t.Errorf("%d points: the peak is %v, want 131", n, high)
		}
		if n >= 60 && math.Abs(float64(silent)/float64(len(points))-1.0/6) > 0.03 {
			t.Errorf("%d points: %d of %d are silent, want a sixth", n, silent, len(points))
		}
	}
}

func TestATraceKeepsToItsWindow(t *testing.T) {
	w := Window{From: 10 * time.Minute, To: 20 * time.Minute, Points: 1000}
	points, err := hour(t).Trace(t.Context(), "north", w)
	if err != nil || len(points) != 601 {
		t.Fatalf("%d points, %v; want 601", len(points), err)
	}
	if first, last := points[0], points[600]; first.At != w.From || last.At != w.To || first.Wall != nine.Add(w.From) {
		t.Errorf("from %v to %v", first.At, last.At)
	}
	for _, w := range []Window{{Points: 0}, {Points: -3}} {
		if _, err := hour(t).Trace(t.Context(), "north", w); err == nil {
			t.Errorf("%d points were not refused", w.Points)
		}
	}
}
