package app

import (
	"fmt"
	"slices"
	"time"

	"bainward/dashboards"
	"bainward/rules"
	"bainward/rules/batch/ledger"
	"bainward/rules/fold"
	"bainward/sensors"
)

// history is what the pages show of the past of a bath. It is made again from
// the record after a restart.
type history struct {
	points  []dashboards.Point
	marks   []dashboards.Mark
	holds   []dashboards.Span
	lines   []dashboards.LogLine
	numbers []string // of the batches of this bath
	led     led
}

const (
	pointEvery = 5 * time.Second
	keepPast   = 6 * time.Hour
	keepLines  = 400
)

// point adds the frame to the trace.
func (h *history) point(b *fold.Bath, cfg *rules.Config, f sensors.Frame) {
	h.extendHold(b, f.At)
	h.led.frame(b, f.At)
	// Counted from offset zero, so that the points are the same ones when the
	// history is made again from the middle.
	if n := len(h.points); n > 0 && f.At/pointEvery == h.points[n-1].At/pointEvery {
		return
	}
	s := b.Show(cfg, f)
	h.points = append(h.points, dashboards.Point{
		At: f.At, OilC: s.Celsius[sensors.Oil], BathC: s.Celsius[sensors.Bath],
		BoilingC: s.BoilingC, FloorC: s.FloorC,
	})
	h.forget(f.At - keepPast)
}

func (h *history) extendHold(b *fold.Bath, at time.Duration) {
	if !b.Rules.HoldRuns() {
		return
	}
	if n := len(h.holds); n > 0 && at-h.holds[n-1].To <= 30*time.Second {
		h.holds[n-1].To = at
		return
	}
	h.holds = append(h.holds, dashboards.Span{From: at, To: at})
}

func (h *history) forget(before time.Duration) {
	if len(h.points) == 0 || h.points[0].At >= before {
		return
	}
	h.points = slices.DeleteFunc(h.points, func(p dashboards.Point) bool { return p.At < before })
	h.marks = slices.DeleteFunc(h.marks, func(m dashboards.Mark) bool { return m.At < before })
	h.holds = slices.DeleteFunc(h.holds, func(s dashboards.Span) bool { return s.To < before })
}

// trace returns the last stretch of the past.
func (h *history) trace(bath string, last time.Duration) dashboards.Trace {
	t := dashboards.Trace{Bath: bath}
	if len(h.points) == 0 {
		return t
	}
	t.To = h.points[len(h.points)-1].At
	first := h.points[0].At
	if len(h.marks) > 0 {
		first = min(first, h.marks[0].At) // a batch begins before its first poll
	}
	t.From = max(t.To-last, first)
	t.Zero = t.To
	for _, p := range h.points {
		if p.At >= t.From {
			t.Points = append(t.Points, p)
		}
	}
	for _, m := range h.marks {
		if m.At >= t.From {
			t.Marks = append(t.Marks, m)
		}
	}
	for _, s := range h.holds {
		if s.To >= t.From {
			t.Holds = append(t.Holds, dashboards.Span{From: max(s.From, t.From), To: s.To})
		}
	}
	return t
}

// number returns a number for a batch that begins now: its day, the bath and
// a count.
func (h *history) number(day ledger.Day, bath string) string {
	for n := 1; ; n++ {
		s := fmt.Sprintf("%s-%s-%d", day, bath, n)
		if !slices.Contains(h.numbers, s) {
			return s
		}
	}
}

func (h *history) opened(number string) { h.numbers = append(h.numbers, number) }

func (h *history) line(l dashboards.LogLine) {
	h.lines = append(h.lines, l)
	if len(h.lines) > 2*keepLines {
		h.lines = slices.Delete(h.lines, 0, len(h.lines)-keepLines)
	}
}

// voided marks the line of an entry that was taken back.
func (h *history) voided(entry int64) {
	for i := range h.lines {
		if h.lines[i].Entry == entry {
			h.lines[i].Voided, h.lines[i].Voidable = true, false
		}
	}
}

// newest returns the newest n lines, newest first.
func (h *history) newest(n int) []dashboards.LogLine {
	from := max(0, len(h.lines)-n)
	lines := slices.Clone(h.lines[from:])
	slices.Reverse(lines)
	return lines
}
