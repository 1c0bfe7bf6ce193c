package verify

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"bainward/daemon/record"
	"bainward/rules/fold"
)

// folded is what came of a segment.
type folded struct {
	i        int // of the segment
	err      error
	followed int64
	version  string     // of the program that wrote where it ended
	began    *fold.Bath // after the event that opens its batch
	ended    *fold.Bath // after the event that opens the next one's
}

// fold folds every segment of every bath again, as many at once as there are
// workers. It tells the report nothing yet.
func (v *verifier) fold(ctx context.Context) (*joints, error) {
	segments, err := v.segments(ctx)
	if err != nil {
		return nil, err
	}
	todo, done := make(chan int), make(chan folded)
	go func() {
		defer close(todo)
		for i := range segments {
			select {
			case todo <- i:
			case <-ctx.Done():
				return
			}
		}
	}()
	var running sync.WaitGroup
	for range v.options.Workers {
		running.Go(func() {
			for i := range todo {
				select {
				case done <- v.foldOne(ctx, segments, i, nil):
				case <-ctx.Done():
					return
				}
			}
		})
	}
	go func() {
		running.Wait()
		close(done)
	}()
	j := &joints{v: v, segments: segments, ended: map[int]*fold.Bath{}, began: map[int]*fold.Bath{}}
	for f := range done {
		j.take(ctx, f)
	}
	return j, ctx.Err()
}

// joints sees to it that what a batch begins with is what the segment before it
// came to. It takes segments as they come, and tells of them in their order: what a
// report says must not hang on which processor was the quicker.
type joints struct {
	v            *verifier
	segments     []segment
	ended, began map[int]*fold.Bath // of segments whose neighbour is not there yet
	failed       []folded
	followed     int64
}

func (j *joints) take(ctx context.Context, f folded) {
	j.keep(f)
	if f.began != nil {
		j.began[f.i] = f.began
	}
	if f.ended != nil {
		j.ended[f.i] = f.ended
	}
	for _, i := range []int{f.i, j.segments[f.i].before} {
		j.join(ctx, i)
	}
}

func (j *joints) keep(f folded) {
	j.followed += f.followed
	if f.err != nil {
		j.failed = append(j.failed, folded{i: f.i, err: f.err, version: f.version})
	}
}

// tell takes what failed into the report. The error is the first that is of the
// file and not of what was judged.
func (j *joints) tell() (err error) {
	j.v.report.Totals.Followed = j.followed
	slices.SortStableFunc(j.failed, func(a, b folded) int { return cmp.Compare(a.i, b.i) })
	for _, f := range j.failed {
		if e := j.v.folded(j.segments[f.i], f); err == nil {
			err = e
		}
	}
	return err
}

// join compares the end of a segment with the beginning of the next. They are the
// same, since a batch is judged from its own inputs alone; if a record shows
// otherwise the next is folded again from there.
func (j *joints) join(ctx context.Context, i int) {
	if i < 0 {
		return
	}
	next := j.segments[i].next
	ended, began := j.ended[i], j.began[next]
	if ended == nil || began == nil {
		return
	}
	delete(j.ended, i)
	delete(j.began, next)
	// As text, not with ==: what is not a number is never the same as itself.
	if *ended == *began || fmt.Sprint(*ended) == fmt.Sprint(*began) {
		return
	}
	j.keep(j.v.foldOne(ctx, j.segments, next, ended))
}

// folded takes why a segment could not be folded to its end into the report.
func (v *verifier) folded(s segment, f folded) error {
	if u, ok := errors.AsType[*unread](f.err); ok {
		v.note(AboutNotFolded, "bath %s was not folded on from where this stands: %v", s.bath, u)
		return nil
	}
	m, ok := errors.AsType[*misfit](f.err)
	if !ok {
		return f.err
	}
	finding := Finding{Kind: DoesNotFollow, Entry: m.entry, Bath: s.bath, Expected: m.expected, Found: m.found}
	if f.version != v.options.Version && v.options.Version != "" {
		finding.Kind = DoesNotFollowVersion
		finding.Means = fmt.Sprintf("%s (Made by version %s; this is %s.)", DoesNotFollowVersion.means(), f.version, v.options.Version)
	}
	v.found.add(finding)
	return nil
}

// foldOne folds one segment, up to the first entry that does not follow.
func (v *verifier) foldOne(ctx context.Context, all []segment, i int, instead *fold.Bath) folded {
	s := all[i]
	conn, err := v.file.db.Conn(ctx)
	if err != nil {
		return folded{i: i, err: err}
	}
	defer conn.Close()
	f := &follower{bath: s.bath, version: s.version, instead: instead}
	if s.opens {
		f.passOver = untilEvent
	}
	if f.cfg, err = configBefore(ctx, conn, s.id, s.from); err != nil {
		return folded{i: i, err: err}
	}
	f.past = func(before, voids int64) ([]fold.Past, bool, error) {
		return pastOf(ctx, v.file.db, f, s, before, voids)
	}
	until := s.until
	if s.beyond {
		until = math.MaxInt64 // it stops by itself
	}
	stream := openStream(ctx, conn, s.bath, s.id, s.from, until)
	ended, err := f.run(ctx, stream, s)
	err = errors.Join(err, stream.close())
	return folded{i: i, err: err, followed: f.followed, version: f.version, began: f.began, ended: ended}
}

// run takes what the stream gives until its end, or until what follows from the
// event that opens the next batch has been judged.
func (f *follower) run(ctx context.Context, s *stream, seg segment) (ended *fold.Bath, err error) {
	defer func() {
		// The rules trust the daemon that feeds them. Whoever wrote this record
		// need not be one.
		if p := recover(); p != nil {
			err = f.misfit(f.seq, "what the rules can take in after this entry", fmt.Sprintf("something that makes them stop: %v", p))
		}
	}()
	for n := 0; ; n++ {
		if n%1024 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		switch s.comes() {
		case nothing:
			if s.err != nil {
				return nil, nil // close returns it
			}
			return nil, f.complete(f.seq)
		case aReading:
			if ended != nil {
				return ended, f.settled(s.readSeq)
			}
			err = f.reading(s.readSeq, &s.reading, s.readWall)
			s.nextReading()
		default:
			e := s.entry
			if ended != nil && !follows(e.Kind) {
				return ended, f.settled(e.Seq)
			}
			opening := f.opening
			err = f.take(e)
			if seg.beyond && e.Seq > seg.until && opening && !f.opening {
				state := f.state
				ended = &state
			}
			s.nextEntry()
		}
		if _, ok := errors.AsType[*misfit](err); err != nil && !ok {
			err = &unread{err}
		}
		if err != nil {
			return nil, err
		}
	}
}

// unread is why a segment cannot be folded further: an entry says nothing. The
// audit has found it already.
type unread struct{ err error }

func (u *unread) Error() string { return u.err.Error() }

func (u *unread) Unwrap() error { return u.err }

// follows reports whether entries of the kind follow from others.
func follows(k record.Kind) bool {
	return k == record.KindPhase || k == record.KindFinding || k == record.KindAlarm
}
