package app

import (
	"math"
	"time"

	"bainward/daemon/record"
	"bainward/dashboards/paper"
	"bainward/rules"
	"bainward/sensors"
)

// sheetWatch watches a batch being folded, for its trace and its times.
type sheetWatch struct {
	points []paper.Point
	marks  []paper.Mark
	past   history // for the stretches in which the hold counts
	times  paper.Times
	lit    time.Duration // when the heat came on first
	ended  time.Duration // bottled or given up; 0: not yet
	lastAt time.Duration
	air    airSeen
	tooHot bool // the rules found the oil over its ceiling
}

// airSeen is the air pressure that the rules went by while the batch was lit.
type airSeen struct {
	low, high           int32   // Pa
	coldest, warmest    float64 // boiling point, °C
	measured, reckoned  bool
	readings, oilUnread int
}

func (w *sheetWatch) look(t *retelling, e record.Entry, in rules.Input) {
	w.lastAt = in.At
	switch in.Kind {
	case rules.EventInput:
		w.event(e, in.Event)
	case rules.FrameInput:
		w.frame(t, in.Frame)
	}
	s := &t.state.Rules
	if s.Phase().Lit() && w.times.Lit.IsZero() {
		w.times.Lit, w.lit = e.Wall, in.At
	}
	if s.Phase() == rules.Holding && w.times.Floor.IsZero() {
		w.times.Floor = e.Wall
	}
	// The rules alone say when a hold is done, and are asked only near its end.
	near := s.Hold()+time.Minute >= t.cfg.Recipe.Hold
	if near && w.times.Held.IsZero() && s.Phase().Lit() && s.Pass() >= t.cfg.Recipe.Macerations && !tooShort(t.cfg, s) {
		w.times.Held = e.Wall
	}
	w.tooHot = w.tooHot || s.Findings()[rules.Overheating].Level == rules.Raised
}

func (w *sheetWatch) event(e record.Entry, did rules.Event) {
	switch did.Kind {
	case rules.Note: // its words stand among the deeds
		return
	case rules.Fill:
		if w.times.Fill.IsZero() {
			w.times.Fill = e.Wall
		}
	case rules.Strain:
		w.times.Strain = e.Wall
	case rules.Recharge:
		w.times.Held = time.Time{} // there is another one to hold
	case rules.Bottle:
		w.times.Bottle, w.ended = e.Wall, e.At
	case rules.Abandon:
		w.ended = e.At
	}
	w.marks = append(w.marks, paper.Mark{At: e.At, Text: did.String()})
}

// frame adds a reading to the trace. Of the readings that share a few seconds the
// hottest of the oil stands for all, so that no peak is lost.
func (w *sheetWatch) frame(t *retelling, f sensors.Frame) {
	s := &t.state.Rules
	w.past.extendHold(&t.state, f.At)
	p := paper.Point{At: f.At, OilC: corrected(&t.state, sensors.Oil), BathC: corrected(&t.state, sensors.Bath)}
	pascal, measured, boiling := s.Air()
	p.BoilingC = boiling
	p.FloorC, _ = s.Bounds(t.cfg)
	if s.Phase().Lit() {
		w.air.take(pascal, measured, boiling, math.IsNaN(p.OilC))
	}
	n := len(w.points)
	switch {
	case n == 0 || p.At/pointEvery != w.points[n-1].At/pointEvery:
		w.points = append(w.points, p)
	case !(p.OilC <= w.points[n-1].OilC): // hotter, or the first that is known
		w.points[n-1] = p
	}
}

func (a *airSeen) take(pascal int32, measured bool, boiling float64, unread bool) {
	if a.readings == 0 {
		a.low, a.high, a.coldest, a.warmest = pascal, pascal, boiling, boiling
	}
	a.readings++
	if unread {
		a.oilUnread++
	}
	a.low, a.high = min(a.low, pascal), max(a.high, pascal)
	a.coldest, a.warmest = min(a.coldest, boiling), max(a.warmest, boiling)
	a.measured, a.reckoned = a.measured || measured, a.reckoned || !measured
}

// trace puts together what was watched, from the opening of the batch to its end.
func (w *sheetWatch) trace(t *retelling, from time.Duration) paper.Trace {
	out := paper.Trace{From: from, To: w.lastAt, Zero: from, Points: w.points, Marks: w.marks}
	if !w.times.Lit.IsZero() {
		out.Zero = w.lit
	}
	if w.ended > 0 {
		out.To = w.ended
	}
	for i, a := range t.course.Called {
		out.Marks = append(out.Marks, paper.Mark{At: t.calledAt[i], Alarm: true, Text: a.Alarm})
	}
	sortMarks(out.Marks)
	for _, s := range w.past.holds {
		out.Holds = append(out.Holds, paper.Span{From: s.From, To: s.To})
	}
	return out
}
