package record

import (
	"context"
	"fmt"
	"time"

	"bainward/sensors"
)

// Window is the part of a bath's readings to draw.
type Window struct {
	From, To time.Duration // offsets, both included; To ≤ 0 means to the end
	Points   int           // draw at most so many
}

// Point is what the probes said within a short time: the lowest and the highest
// good reading of each, so that no peak is lost between two points. A probe
// without a good reading has its last fault in both.
type Point struct {
	At        time.Duration // of the first reading in it
	Wall      time.Time
	Low, High [sensors.RoleCount]sensors.Reading
}

// Trace returns the readings of a bath, thinned for drawing, in order.
func (r *Reader) Trace(ctx context.Context, bath string, w Window) ([]Point, error) {
	if w.Points < 1 {
		return nil, fmt.Errorf("trace of %s: %d points asked for, want at least one", bath, w.Points)
	}
	end, err := r.Last(ctx)
	if err != nil {
		return nil, fmt.Errorf("trace of %s: %w", bath, err)
	}
	if w.To <= 0 || w.To > end.At {
		w.To = end.At
	}
	w.From = max(w.From, 0)
	if w.To < w.From {
		return nil, nil
	}
	from, err := r.seqAt(ctx, w.From, end.Seq)
	if err != nil {
		return nil, fmt.Errorf("trace of %s: %w", bath, err)
	}
	// One more tick than the span, so that the last instant falls into the last
	// point; rounded up, so that there are no more points than asked for.
	span := w.To - w.From + Tick
	width := span/time.Duration(w.Points) + min(1, span%time.Duration(w.Points))
	var points []Point
	bucket := time.Duration(-1)
	for e, err := range r.ofBath(ctx, bath, from, 0) {
		switch {
		case err != nil:
			return nil, fmt.Errorf("trace of %s: %w", bath, err)
		case e.At > w.To:
			return points, nil
		case e.Kind != KindReading:
			continue
		}
		if b := (e.At - w.From) / width; b != bucket {
			bucket = b
			points = append(points, Point{At: e.At, Wall: e.Wall, Low: e.Frame.Probes, High: e.Frame.Probes})
			continue
		}
		points[len(points)-1].take(e.Frame)
	}
	return points, nil
}

func (p *Point) take(f sensors.Frame) {
	for role, r := range f.Probes {
		low, high := &p.Low[role], &p.High[role]
		switch {
		case !low.OK(): // none yet: a good reading, or else the later fault
			*low, *high = r, r
		case !r.OK():
		case r.Temperature < low.Temperature:
			*low = r
		case r.Temperature > high.Temperature:
			*high = r
		}
	}
}

// seqAt returns the number of the first entry at or after an offset, or one
// more than last. It halves, since numbers and offsets rise together.
func (r *Reader) seqAt(ctx context.Context, at time.Duration, last int64) (int64, error) {
	before, after := int64(0), last+1
	for after-before > 1 {
		middle := before + (after-before)/2
		e, err := r.firstFrom(ctx, middle)
		switch {
		case err != nil:
			return 0, err
		case e.At < at && e.Seq < after:
			before = e.Seq
		default:
			after = middle
		}
	}
	return after, nil
}

// firstFrom returns the entry numbered seq, or the first after it if it was
// thinned out.
func (r *Reader) firstFrom(ctx context.Context, seq int64) (e Entry, err error) {
	found := false
	r.pages(ctx, selection{every: true, from: seq, blocks: 2, rows: 1}, func(_ *page, first *Entry) bool {
		if first == nil {
			return true
		}
		e, found = *first, true
		return false
	}, func(failed error) { err = failed })
	if err == nil && !found {
		err = fmt.Errorf("entry %d is missing", seq)
	}
	return e, err
}
