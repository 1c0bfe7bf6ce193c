package app

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/batch/ledger"
	"bainward/rules/fold"
	"bainward/sensors"
)

// ReadCourse folds what was recorded of a batch again and says how it went: its
// phases, its hold, its alarms. A batch that the record does not hold, or whose
// opening it does not hold, went nobody knows how: the course is empty.
func ReadCourse(ctx context.Context, r *record.Reader, number string) (ledger.Course, error) {
	course := ledger.Course{Phases: []ledger.PhaseAt{}, AlarmKind: []ledger.AlarmOf{}, Verdict: rules.Open.String()}
	batches, err := r.Batches(ctx)
	if err != nil {
		return course, err
	}
	i := slices.IndexFunc(batches, func(b record.BatchEntries) bool { return b.Batch.Number == number })
	if i < 0 {
		return course, nil
	}
	b := batches[i]
	// Twice through: what is void is known at the end only, and a day of readings
	// is better read again than held in memory.
	void, err := courseOf(ctx, r, b, &course)
	if err != nil {
		return course, fmt.Errorf("read batch %s: %w", number, err)
	}
	if err := holdOf(ctx, r, b, void, &course); err != nil {
		return course, fmt.Errorf("fold batch %s: %w", number, err)
	}
	if !b.Open() {
		course.Verdict = b.Batch.Verdict
	}
	return course, nil
}

// courseOf reads what was recorded of the phases and alarms of a batch, and which
// entries are void.
func courseOf(ctx context.Context, r *record.Reader, b record.BatchEntries, c *ledger.Course) (void map[int64]bool, err error) {
	void = map[int64]bool{}
	times := map[string]int{}
	for e, err := range r.OfBatch(ctx, b) {
		if err != nil {
			return nil, err
		}
		switch e.Kind {
		case record.KindPhase:
			var p record.Phase
			if err := e.Decode(&p); err != nil {
				return nil, err
			}
			c.Phases = append(c.Phases, ledger.PhaseAt{When: e.Wall, Phase: p.Phase, Pass: p.Pass})
		case record.KindAlarm:
			var a record.Alarm
			if err := e.Decode(&a); err != nil {
				return nil, err
			}
			if a.To == alarm.Unacknowledged.String() {
				c.Alarms++
				times[a.Alarm]++
			}
		case record.KindCorrection:
			var k record.Correction
			if err := e.Decode(&k); err != nil {
				return nil, err
			}
			void[k.Voids] = true
		}
	}
	for name, n := range times {
		c.AlarmKind = append(c.AlarmKind, ledger.AlarmOf{Alarm: name, Times: n})
	}
	slices.SortFunc(c.AlarmKind, func(x, y ledger.AlarmOf) int { return strings.Compare(x.Alarm, y.Alarm) })
	return void, nil
}

// holdOf folds the inputs of a batch that count.
func holdOf(ctx context.Context, r *record.Reader, b record.BatchEntries, void map[int64]bool, c *ledger.Course) error {
	var state fold.Bath
	var cfg *rules.Config
	for e, err := range r.OfBatch(ctx, b) {
		if err != nil {
			return err
		}
		if e.Kind == record.KindConfig {
			var body record.Config
			if err := e.Decode(&body); err != nil {
				return err
			}
			cfg = &body.Config
			continue
		}
		in, ok, err := e.Input()
		if err != nil {
			return err
		}
		if ok && cfg != nil && !void[e.Seq] {
			state, _ = state.Step(cfg, in)
		}
	}
	if cfg == nil {
		return nil
	}
	now := state.Show(cfg, sensors.Frame{})
	c.HoldS, c.AskedS, c.TopUps, c.Verdict = now.Hold.Seconds(), now.HoldAsked.Seconds(), now.TopUps, now.Verdict.String()
	if !math.IsNaN(now.OilMaxC) {
		c.OilMaxC = &now.OilMaxC
	}
	return nil
}
