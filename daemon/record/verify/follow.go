package verify

import (
	"fmt"
	"time"

	"bainward/daemon/record"
	"bainward/rules"
	"bainward/rules/fold"
)

// passing says whether what follows is passed over.
type passing uint8

const (
	judging    passing = iota
	untilEvent         // the event that opens the batch is still to come
	afterEvent         // what follows from it is passed over
)

// misfit is the first entry of a segment that does not follow.
type misfit struct {
	entry           int64
	expected, found string
}

func (m *misfit) Error() string {
	return fmt.Sprintf("entry %d: expected %s, found %s", m.entry, m.expected, m.found)
}

// follower folds the log of one bath and compares what follows with what was
// recorded: every phase, finding and alarm, every verdict, in order and to the
// last digit. It shares nothing with the daemon but the rules.
type follower struct {
	bath  string
	cfg   *rules.Config
	state fold.Bath
	told  fold.Told // of the last input
	batch string
	// opening: a batch entry said that a batch is opened, and the event that
	// opens it is still to come.
	opening bool
	due     []record.Entry
	seq     int64 // of the entry that was taken last
	// noticed is an event that the last reading showed and that must be entered
	// before the next, as seen.
	noticed  rules.EventKind
	version  string // of the program that wrote this stretch
	followed int64
	// What follows from the first event of a segment that opens a batch is judged
	// with the segment before, whose state it changes.
	passOver passing
	began    *fold.Bath // the state after that event
	instead  *fold.Bath // put in its place, if it is known to be another
	// Of the open batch: its first entry, and what held then.
	batchFrom int64
	batchCfg  *rules.Config
	// past returns the inputs of the open batch before an entry that count without
	// the one that it voids, and whether that was one of them.
	past func(before, voids int64) ([]fold.Past, bool, error)
}

func (f *follower) misfit(entry int64, expected, found string) error {
	return &misfit{entry: entry, expected: expected, found: found}
}

// reading takes a reading, the most frequent thing by far.
func (f *follower) reading(seq int64, in *rules.Input, wallMS int64) error {
	if err := f.complete(seq); err != nil {
		return err
	}
	if f.passOver == afterEvent {
		f.passOver = judging
	}
	if f.cfg == nil {
		return f.misfit(seq, "a config before the first reading", "a reading")
	}
	f.seq = seq
	return f.input(head{seq, in.At, wallMS}, in)
}

// head is where an input stands.
type head struct {
	seq    int64
	at     time.Duration
	wallMS int64
}

func (f *follower) take(e record.Entry) error {
	defer func() { f.seq = e.Seq }()
	if follows(e.Kind) {
		if f.passOver == afterEvent {
			return nil
		}
		return f.follows(e)
	}
	if e.Kind == record.KindConfig && len(f.due) == 1 && f.due[0].Kind == record.KindConfig {
		if err := f.follows(e); err != nil {
			return err
		}
	}
	if err := f.settled(e.Seq); err != nil {
		return err
	}
	if f.passOver == afterEvent {
		f.passOver = judging
	}
	switch e.Kind {
	case record.KindConfig:
		var body record.Config
		err := e.Decode(&body)
		f.cfg = &body.Config
		return err
	case record.KindBatch:
		return f.opensOrCloses(e)
	case record.KindCommand:
		return f.command(e)
	case record.KindCorrection:
		return f.correction(e)
	case record.KindRestart:
		if err := f.restart(e); err != nil {
			return err
		}
	}
	in, ok, err := e.Input()
	if err != nil || !ok {
		return err
	}
	if in.Kind == rules.EventInput && in.Event.Kind == f.noticed {
		f.noticed = rules.NoEvent
	}
	if f.cfg == nil && in.Kind != rules.RestartInput {
		return f.misfit(e.Seq, "a config before the first event", string(e.Body))
	}
	return f.input(head{e.Seq, e.At, e.Wall.UnixMilli()}, &in)
}

// restart takes note that the daemon came up. A bath without an open batch begins
// anew with it; one with a batch goes on from where it stood.
func (f *follower) restart(e record.Entry) error {
	if err := f.complete(e.Seq); err != nil {
		return err
	}
	var body record.Restart
	err := e.Decode(&body)
	f.version = body.Version
	if f.batch == "" {
		f.state = fold.Bath{}
	}
	return err
}

func (f *follower) opensOrCloses(e record.Entry) error {
	var body record.Batch
	if err := e.Decode(&body); err != nil {
		return err
	}
	if body.State == record.Opened {
		if f.batch != "" {
			return f.misfit(e.Seq, "batch "+f.batch+" closed before another opens", "batch "+body.Number+" opened")
		}
		f.batch, f.opening = body.Number, true
		f.batchFrom, f.batchCfg = e.Seq, f.cfg
		return nil
	}
	if body.Number != f.batch {
		return f.misfit(e.Seq, fmt.Sprintf("batch %q closed", f.batch), "batch "+body.Number+" closed")
	}
	if v := f.state.Rules.Verdict().String(); body.Verdict != v {
		return f.misfit(e.Seq, "the verdict "+v, "the verdict "+body.Verdict)
	}
	f.followed++
	f.batch, f.opening = "", false
	return nil
}

func (f *follower) input(h head, in *rules.Input) error {
	told := &f.told
	f.state.Take(f.cfg, in, told)
	if told.Opened != f.opening {
		expected, found := "a batch that is opened by this", "none"
		if f.opening {
			expected, found = "the event that opens batch "+f.batch, "something that opens none"
		}
		return f.misfit(h.seq, expected, found)
	}
	f.opening = false
	if f.passOver == untilEvent {
		f.passOver = afterEvent
		began := f.state
		f.began = &began
		if f.instead != nil {
			f.state = *f.instead
		}
		return nil
	}
	if err := f.expect(h, told); err != nil {
		return err
	}
	return f.learned(h, told)
}

func (f *follower) command(e record.Entry) error {
	var body record.Command
	if err := e.Decode(&body); err != nil {
		return err
	}
	c, err := body.Command()
	if err != nil {
		return err
	}
	var told fold.Told
	if f.state, told, err = f.state.Do(e.At, c); err != nil {
		return f.misfit(e.Seq, "a command that the alarm could take", string(e.Body)+": "+err.Error())
	}
	return f.expect(head{e.Seq, e.At, e.Wall.UnixMilli()}, &told)
}

func (f *follower) correction(e record.Entry) error {
	var body record.Correction
	if err := e.Decode(&body); err != nil {
		return err
	}
	counts, found, err := f.past(e.Seq, body.Voids)
	if err != nil || !found {
		return err // it takes back something that the rules do not judge
	}
	var told fold.Told
	f.state, told = f.state.Refold(counts, e.At)
	return f.expect(head{e.Seq, e.At, e.Wall.UnixMilli()}, &told)
}
