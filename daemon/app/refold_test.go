package app

import (
	"bytes"
	"fmt"
	"testing"

	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/fold"
)

// refold goes through a record from its first entry, folds what was recorded of
// the world again, and compares what follows from it with what was recorded:
// every phase, finding and alarm, in order and to the last digit. It shares
// nothing with the loop but the rules.
type refold struct {
	baths map[string]*refolded
	names []string
}

type refolded struct {
	cfg   *rules.Config
	state fold.Bath
	batch string
	past  []fold.Past
	seqs  []int64 // of past
	due   []record.Entry
}

// checkRefold fails the test at the first entry that does not follow.
func checkRefold(t testing.TB, entries []record.Entry) {
	t.Helper()
	r := refold{baths: map[string]*refolded{}}
	for _, e := range entries {
		if err := r.take(e); err != nil {
			t.Fatalf("entry %d (%s %s): %v", e.Seq, e.Bath, e.Kind, err)
		}
	}
	for _, name := range r.names {
		if err := r.baths[name].done(); err != nil {
			t.Fatalf("at the end, bath %s: %v", name, err)
		}
	}
}

func (r *refold) bath(name string) *refolded {
	if r.baths[name] == nil {
		r.baths[name] = &refolded{}
		r.names = append(r.names, name)
	}
	return r.baths[name]
}

func (r *refold) take(e record.Entry) error {
	if e.Bath != "" {
		return r.bath(e.Bath).take(e)
	}
	if e.Kind == record.KindRestart {
		for _, name := range r.names {
			if err := r.baths[name].restarted(e); err != nil {
				return fmt.Errorf("bath %s: %w", name, err)
			}
		}
	}
	return nil
}

// restarted takes a restart. A bath without a batch in hand begins anew; one
// with a batch goes on from where it stood, which is the claim.
func (b *refolded) restarted(e record.Entry) error {
	if err := b.done(); err != nil {
		return err
	}
	if b.batch == "" {
		b.state = fold.Bath{}
	}
	return b.input(e)
}

func (b *refolded) take(e record.Entry) error {
	switch e.Kind {
	case record.KindPhase, record.KindFinding, record.KindAlarm:
		return b.follows(e)
	}
	if err := b.done(); err != nil {
		return err
	}
	switch e.Kind {
	case record.KindConfig:
		var body record.Config
		err := e.Decode(&body)
		b.cfg = &body.Config
		return err
	case record.KindBatch:
		return b.opensOrCloses(e)
	case record.KindCommand:
		return b.command(e)
	case record.KindCorrection:
		return b.correction(e)
	}
	return b.input(e)
}

func (b *refolded) opensOrCloses(e record.Entry) error {
	var body record.Batch
	if err := e.Decode(&body); err != nil {
		return err
	}
	if body.State == record.Opened {
		if b.batch != "" {
			return fmt.Errorf("it opens %s while %s is open", body.Number, b.batch)
		}
		b.batch, b.past, b.seqs = body.Number, nil, nil
		return nil
	}
	if body.Number != b.batch {
		return fmt.Errorf("it closes %s while %q is open", body.Number, b.batch)
	}
	if v := b.state.Rules.Verdict().String(); body.Verdict != v {
		return fmt.Errorf("it says %s, the fold says %s", body.Verdict, v)
	}
	b.batch = ""
	return nil
}

func (b *refolded) input(e record.Entry) error {
	in, ok, err := e.Input()
	if err != nil || !ok {
		return err
	}
	var told fold.Told
	b.state, told = b.state.Step(b.cfg, in)
	if b.batch != "" {
		b.past, b.seqs = append(b.past, fold.Past{Config: b.cfg, Input: in}), append(b.seqs, e.Seq)
	}
	return b.expect(e, &told)
}

func (b *refolded) command(e record.Entry) error {
	var body record.Command
	if err := e.Decode(&body); err != nil {
		return err
	}
	c, err := body.Command()
	if err != nil {
		return err
	}
	var told fold.Told
	if b.state, told, err = b.state.Do(e.At, c); err != nil {
		return err
	}
	return b.expect(e, &told)
}

func (b *refolded) correction(e record.Entry) error {
	var body record.Correction
	if err := e.Decode(&body); err != nil {
		return err
	}
	var counts []fold.Past
	var seqs []int64
	for i, seq := range b.seqs {
		if seq != body.Voids {
			counts, seqs = append(counts, b.past[i]), append(seqs, seq)
		}
	}
	if len(counts) != len(b.past)-1 {
		return fmt.Errorf("it voids entry %d, which is no input of this batch that counts", body.Voids)
	}
	b.past, b.seqs = counts, seqs
	var told fold.Told
	b.state, told = b.state.Refold(counts, e.At)
	return b.expect(e, &told)
}

// expect lists the entries that must follow from what e changed.
func (b *refolded) expect(e record.Entry, told *fold.Told) error {
	var bodies []record.Body
	if told.Before != told.After {
		bodies = append(bodies, record.PhaseOf(told.After, b.state.Rules.Pass()))
	}
	for _, id := range told.Moved() {
		bodies = append(bodies, record.FindingOf(id, told.Found[id]))
	}
	for _, c := range told.Changes.All() {
		bodies = append(bodies, record.AlarmOf(c))
	}
	for _, body := range bodies {
		due, err := record.Of(e.At, e.Wall, e.Bath, body)
		if err != nil {
			return err
		}
		b.due = append(b.due, due)
	}
	return nil
}

func (b *refolded) follows(e record.Entry) error {
	if len(b.due) == 0 {
		return fmt.Errorf("it follows from nothing: %s", e.Body)
	}
	due := b.due[0]
	b.due = b.due[1:]
	if e.Kind != due.Kind || e.At != due.At || !bytes.Equal(e.Body, due.Body) {
		return fmt.Errorf("the record says %s at %v, the fold says %s %s at %v", e.Body, e.At, due.Kind, due.Body, due.At)
	}
	return nil
}

func (b *refolded) done() error {
	if len(b.due) > 0 {
		return fmt.Errorf("%s %s should stand before this", b.due[0].Kind, b.due[0].Body)
	}
	return nil
}
