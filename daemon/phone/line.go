package phone

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/notice"
)

// senders is how many tries one channel makes at once. All but the first take
// grave notices only, so that no lesser one that hangs is ever waited for.
const senders = 2

// line is what waits for one channel.
type line struct {
	channel notice.Channel
	opt     *Options
	ledger  *ledger
	wakes   [senders]chan struct{} // each with room for one signal

	mu     sync.Mutex // guards all below
	jobs   []*job     // in the order of handing over
	number uint64
	held   map[string]int // calls about which no try may begin now
	asked  time.Time      // until then the far end wants to hear of nothing that can wait
	strays int            // sends that did not heed their end
	health Health
}

func newLine(c notice.Channel, o *Options, to *ledger) *line {
	l := &line{channel: c, opt: o, ledger: to, held: map[string]int{}, health: Health{Channel: c.Name()}}
	for i := range l.wakes {
		l.wakes[i] = make(chan struct{}, 1)
	}
	return l
}

// wake lets the senders look again.
func (l *line) wake() {
	for _, w := range l.wakes {
		select {
		case w <- struct{}{}:
		default:
		}
	}
}

func (l *line) hand(now time.Time, e Errand) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if slices.ContainsFunc(l.jobs, func(j *job) bool { return j.ID == e.ID }) {
		return
	}
	n := newJob(now, e)
	l.supersede(n)
	l.number++
	n.number = l.number
	l.jobs = append(l.jobs, n)
	if len(l.jobs) > l.opt.Capacity {
		l.dropOne()
	}
	l.wake()
}

// supersede takes out what n takes the place of. A channel that fails is not
// tried sooner for it.
func (l *line) supersede(n *job) {
	const why = "a newer notice takes its place"
	for _, j := range slices.Clone(l.jobs) {
		old := j.Due
		old.Calls = j.open
		switch {
		case !n.Supersedes(old):
		case j.cancel != nil:
			j.last = why
		default:
			if j.calling() {
				n.failures = max(n.failures, j.failures)
				n.due = later(n.due, j.due)
			}
			l.end(j, calls.Withdrawn, why)
		}
	}
}

// dropOne gives up what is worth least, so that the line keeps to its capacity.
func (l *line) dropOne() {
	var least *job
	for _, j := range l.jobs {
		if j.cancel == nil && (least == nil || j.worthLess(least)) {
			least = j
		}
	}
	if least == nil {
		return // all are being sent
	}
	l.health.Dropped++
	l.end(least, calls.GaveUp, fmt.Sprintf("more than %d notices wait for %s, and this was worth least", l.opt.Capacity, l.channel.Name()))
}

// end takes a job out and says how it ended.
func (l *line) end(j *job, r calls.Result, said string) {
	l.jobs = slices.DeleteFunc(l.jobs, func(k *job) bool { return k == j })
	l.health.count(r)
	l.report(j, calls.Tried{Result: r, Said: said})
}

func (l *line) report(j *job, t calls.Tried) {
	t.Notice, t.Try = j.ID, j.Tries
	log := l.opt.Logger.With("channel", l.channel.Name(), "contact", j.Contact, "notice", j.ID, "try", t.Try, "said", t.Said)
	switch t.Result {
	case calls.GaveUp:
		log.Error("give up a notice", "title", j.Title)
	case calls.Failed:
		log.Warn("deliver a notice", "next", t.Next)
	default:
		log.Debug("notice " + t.Result.String())
	}
	l.ledger.add(t)
}

func (l *line) withdraw(ended []string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	const why = "its call has ended"
	for _, j := range slices.Clone(l.jobs) {
		if !j.calling() {
			continue
		}
		j.open = slices.DeleteFunc(slices.Clone(j.open), func(id string) bool { return slices.Contains(ended, id) })
		switch {
		case len(j.open) > 0:
		case j.cancel != nil:
			j.last = why
			j.cancel()
		default:
			l.end(j, calls.Withdrawn, why)
		}
	}
}

// hold adds one, or minus one, to the holds on calls.
func (l *line) hold(ids []string, add int) {
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, id := range ids {
		if l.held[id] += add; l.held[id] == 0 {
			delete(l.held, id)
		}
	}
	if add < 0 {
		l.wake()
	}
}

// take returns the job that is to be tried now, with the context of the try; or
// nil, and when one will be due, zero if none waits.
func (l *line) take(ctx context.Context, now time.Time, sender int) (*job, context.Context, time.Time) {
	l.mu.Lock()
	defer l.mu.Unlock()
	var best *job
	var next time.Time
	for _, j := range slices.Clone(l.jobs) {
		due := j.due
		if !j.grave() {
			due = later(due, l.asked)
		}
		switch {
		case j.cancel != nil || sender > 0 && !j.grave() || l.isHeld(j):
		case !now.Before(j.expires):
			l.end(j, calls.GaveUp, "it is too old to be news")
		case due.After(now):
			if next.IsZero() || due.Before(next) {
				next = due
			}
		case best == nil || j.before(best):
			best = j
		}
	}
	if best == nil {
		return nil, nil, next
	}
	try, cancel := context.WithTimeout(ctx, l.opt.Timeout)
	best.cancel = cancel
	best.Tries++
	return best, try, next
}

// isHeld reports whether all that a job calls about is on hold.
func (l *line) isHeld(j *job) bool {
	return len(l.held) > 0 && j.calling() && !slices.ContainsFunc(j.open, func(id string) bool { return l.held[id] == 0 })
}

func later(a, b time.Time) time.Time {
	if a.Before(b) {
		return b
	}
	return a
}
