package app

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/alarm"
	"bainward/rules/batch/ledger"
	"bainward/rules/fold"
	"bainward/sensors"
)

// ReadCourse folds what was recorded of a batch again and says how it went: its
// phases, its macerations, its alarms, who did what. A batch that the record does
// not hold, or whose opening it does not hold, went nobody knows how: the course
// is empty.
func ReadCourse(ctx context.Context, r *record.Reader, number string) (ledger.Course, error) {
	b, _, err := findBatch(ctx, r, number)
	if err != nil {
		return emptyCourse(), err
	}
	t, err := retell(ctx, r, b, nil, nil)
	return t.course, err
}

func emptyCourse() ledger.Course {
	return ledger.Course{
		Phases: []ledger.PhaseAt{}, Passes: []ledger.PassCourse{}, AlarmKind: []ledger.AlarmOf{},
		Called: []ledger.AlarmCall{}, Deeds: []ledger.Deed{}, Verdict: rules.Open.String(),
	}
}

// findBatch returns a batch of the record; ok is false if there is none of that
// number.
func findBatch(ctx context.Context, r *record.Reader, number string) (b record.BatchEntries, ok bool, err error) {
	batches, err := r.Batches(ctx)
	if err != nil {
		return b, false, err
	}
	i := slices.IndexFunc(batches, func(b record.BatchEntries) bool { return b.Batch.Number == number })
	if i < 0 {
		return b, false, nil
	}
	return batches[i], true, nil
}

// retelling is a batch folded again, entry by entry.
type retelling struct {
	void     map[int64]record.Correction // by the entry that does not count
	where    clocks                      // by whose clocks wall times are told
	course   ledger.Course
	state    fold.Bath
	cfg      *rules.Config
	last     record.Entry    // the last that was taken
	calledAt []time.Duration // offsets of course.Called
	// look is shown every input that counts, after it was folded; may be nil.
	look func(t *retelling, e record.Entry, in rules.Input)
}

// retell goes through the entries of a batch once; look may be nil, and where as
// well: then times are UTC. What is void is known beforehand, from the index, so that
// no reading is held in memory.
func retell(ctx context.Context, r *record.Reader, b record.BatchEntries, where clocks, look func(*retelling, record.Entry, rules.Input)) (*retelling, error) {
	t := &retelling{course: emptyCourse(), where: where, look: look}
	var err error
	if t.void, err = corrections(ctx, r); err != nil {
		return t, err
	}
	for e, err := range r.OfBatch(ctx, b) {
		if err == nil {
			err = t.take(e)
		}
		if err != nil {
			return t, fmt.Errorf("read batch %s: %w", b.Batch.Number, err)
		}
	}
	t.sumUp(b)
	return t, nil
}

// corrections returns what the record says is void.
func corrections(ctx context.Context, r *record.Reader) (map[int64]record.Correction, error) {
	entries, err := r.Goods(ctx)
	if err != nil {
		return nil, err
	}
	void := map[int64]record.Correction{}
	for _, e := range entries {
		if e.Kind != record.KindCorrection {
			continue
		}
		var c record.Correction
		if err := e.Decode(&c); err != nil {
			return nil, err
		}
		void[c.Voids] = c
	}
	return void, nil
}

func (t *retelling) take(e record.Entry) error {
	e.Wall = t.where.wall(e.Seq, e.Wall)
	t.last = e
	switch e.Kind {
	case record.KindConfig:
		var body record.Config
		if err := e.Decode(&body); err != nil {
			return err
		}
		t.cfg = &body.Config
		return nil
	case record.KindPhase:
		return t.phase(e)
	case record.KindAlarm:
		return t.alarm(e)
	case record.KindCommand:
		return t.command(e)
	case record.KindEvent:
		if err := t.deed(e); err != nil {
			return err
		}
	}
	return t.input(e)
}

// input folds an input that counts.
func (t *retelling) input(e record.Entry) error {
	in, ok, err := e.Input()
	if err != nil {
		return err
	}
	if _, void := t.void[e.Seq]; !ok || void || t.cfg == nil {
		return nil
	}
	before := t.state
	next, told := before.Step(t.cfg, in)
	t.state = next
	t.passes(e, in, &before, &told)
	if t.look != nil {
		t.look(t, e, in)
	}
	return nil
}

// phase notes a phase as it was recorded, even if an event that led there was
// taken back later: so it was shown then.
func (t *retelling) phase(e record.Entry) error {
	var p record.Phase
	if err := e.Decode(&p); err != nil {
		return err
	}
	t.course.Phases = append(t.course.Phases, ledger.PhaseAt{When: e.Wall, Phase: p.Phase, Pass: p.Pass})
	return nil
}

// sumUp says of the batch what only its end tells.
func (t *retelling) sumUp(b record.BatchEntries) {
	c := &t.course
	times := map[string]int{}
	for _, a := range c.Called {
		times[a.Alarm]++
	}
	for name, n := range times {
		c.AlarmKind = append(c.AlarmKind, ledger.AlarmOf{Alarm: name, Times: n})
	}
	slices.SortFunc(c.AlarmKind, func(x, y ledger.AlarmOf) int { return strings.Compare(x.Alarm, y.Alarm) })
	c.Alarms = len(c.Called)
	if t.cfg != nil {
		t.passGoesOn()
		now := t.state.Show(t.cfg, sensors.Frame{})
		c.HoldS, c.AskedS, c.TopUps, c.Verdict = now.Hold.Seconds(), now.HoldAsked.Seconds(), now.TopUps, now.Verdict.String()
		c.OilMaxC = hottest(&t.state)
	}
	if !b.Open() {
		c.Verdict = b.Batch.Verdict
	}
}

// alarm notes an alarm that calls somebody.
func (t *retelling) alarm(e record.Entry) error {
	var a record.Alarm
	if err := e.Decode(&a); err != nil {
		return err
	}
	if a.To == alarm.Unacknowledged.String() {
		t.course.Called = append(t.course.Called, ledger.AlarmCall{Alarm: a.Alarm, Priority: a.Priority, Raised: e.Wall})
		t.calledAt = append(t.calledAt, e.At)
	}
	return nil
}

// command notes who acknowledged an alarm: its newest call that nobody answered.
func (t *retelling) command(e record.Entry) error {
	var c record.Command
	if err := e.Decode(&c); err != nil {
		return err
	}
	if c.Action != alarm.Acknowledge.String() {
		return nil
	}
	for i := len(t.course.Called) - 1; i >= 0; i-- {
		if a := &t.course.Called[i]; a.Alarm == c.Alarm {
			if a.Acknowledged.IsZero() {
				a.Acknowledged, a.By = e.Wall, c.By
			}
			break
		}
	}
	return nil
}
