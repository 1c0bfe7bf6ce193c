package app

import (
	"context"
	"slices"
	"sync"

	"bainward/daemon/record"
	"bainward/rules/batch/ledger"
)

// coursesKept is how many courses are kept: those of the batches that people leaf
// through. Each takes some tens of kilobytes.
const coursesKept = 8

// courses keeps how closed batches went, for to fold one again takes seconds on the
// oldest Pi. A course is kept under all that it follows from: the entry that closed
// the batch, after which only a correction can change it, and the last correction of
// all. So nothing has to be thrown away, and no old one is found.
type courses struct {
	mu   sync.Mutex
	kept []keptCourse // the one that was asked for last is last
}

type courseKey struct {
	number            string
	closed, corrected int64 // numbers of the entries
}

type keptCourse struct {
	courseKey
	course ledger.Course
}

func (c *courses) find(key courseKey) (ledger.Course, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	i := slices.IndexFunc(c.kept, func(k keptCourse) bool { return k.courseKey == key })
	if i < 0 {
		return ledger.Course{}, false
	}
	found := c.kept[i]
	c.kept = append(slices.Delete(c.kept, i, i+1), found)
	return found.course, true
}

// keep takes the place of what was kept of the same batch, else of the one that nobody
// asked for longest.
func (c *courses) keep(key courseKey, course ledger.Course) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.kept = slices.DeleteFunc(c.kept, func(k keptCourse) bool { return k.number == key.number })
	if extra := len(c.kept) + 1 - coursesKept; extra > 0 {
		c.kept = slices.Delete(c.kept, 0, extra)
	}
	c.kept = append(c.kept, keptCourse{key, course})
}

// Course says how a batch went, from the record. Its slices are shared and must not be
// changed.
func (a *App) Course(ctx context.Context, number string) (ledger.Course, error) {
	key := courseKey{number: number, corrected: a.lastCorrection.Load()} // before anything is read
	b, _, err := findBatch(ctx, a.record.Reader, number)
	if err != nil {
		return emptyCourse(), err
	}
	key.closed = b.Closed.Seq
	if c, ok := a.courses.find(key); ok {
		return c, nil
	}
	t, err := retell(ctx, a.record.Reader, b, nil, nil)
	if err == nil && !b.Open() {
		a.courses.keep(key, t.course)
	}
	return t.course, err
}

// noteCorrection remembers the last correction.
func (a *App) noteCorrection(e record.Entry) {
	if e.Kind == record.KindCorrection {
		a.lastCorrection.Store(e.Seq)
	}
}
