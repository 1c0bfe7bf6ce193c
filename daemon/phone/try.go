package phone

import (
	"context"
	"errors"
	"fmt"
	"time"

	"bainward/daemon/phone/calls"
	"bainward/daemon/phone/notice"
)

// work is one sender of a line: it tries what is due until ctx ends.
func (l *line) work(ctx context.Context, sender int) {
	for ctx.Err() == nil {
		j, try, next := l.take(ctx, time.Now(), sender)
		if j != nil {
			answer, err := l.send(try, j)
			l.tried(ctx, j, answer, err)
			continue
		}
		var due <-chan time.Time
		if !next.IsZero() {
			due = time.After(time.Until(next))
		}
		select {
		case <-due:
		case <-l.wakes[sender]:
		case <-ctx.Done():
		}
	}
}

// A channel must end its Send with the context. Of one that does not, the desk
// lets go after a moment, and of no more than a few at a time: each may hold a
// connection.
const (
	patience  = time.Second
	maxStrays = 8
)

// errOnHold: the end of all its calls is being recorded just now.
var errOnHold = errors.New("its calls are on hold")

type reply struct {
	answer string
	err    error
}

// send makes one try. It returns soon after ctx has ended, whatever the channel
// does.
func (l *line) send(ctx context.Context, j *job) (string, error) {
	if l.straying(0) >= maxStrays {
		return "", fmt.Errorf("%d earlier tries never ended, so none is begun", maxStrays)
	}
	done := make(chan reply, 1)
	go func() { done <- l.call(ctx, j) }()
	select {
	case r := <-done:
		return r.answer, r.err
	case <-ctx.Done():
	}
	select {
	case r := <-done:
		return r.answer, r.err
	case <-time.After(patience):
	}
	l.straying(1)
	go func() {
		<-done
		l.straying(-1)
	}()
	return "", fmt.Errorf("the channel does not end its try: %w", ctx.Err())
}

// straying counts the sends that were let go.
func (l *line) straying(more int) int {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.strays += more
	return l.strays
}

// call calls the channel. One that panics must not end the watch over a bath.
func (l *line) call(ctx context.Context, j *job) (r reply) {
	defer func() {
		if p := recover(); p != nil {
			r = reply{err: fmt.Errorf("the channel panicked: %v", p)}
		}
	}()
	n := j.Notice
	if l.opt.Finish != nil {
		n = l.opt.Finish(n, j.Calls)
	}
	if err := l.stop(ctx, j); err != nil {
		return reply{err: err}
	}
	answer, err := l.channel.Send(ctx, n)
	return reply{answer, err}
}

// stop is the last look before a notice leaves: making the picture took time.
func (l *line) stop(ctx context.Context, j *job) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.isHeld(j) {
		return errOnHold
	}
	return ctx.Err()
}

// tried takes in how a try went. running is the context of the whole desk.
func (l *line) tried(running context.Context, j *job, answer string, err error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	j.cancel()
	j.cancel = nil
	now := time.Now()
	switch {
	case err == nil:
		l.health.FailingSince, l.health.LastError = time.Time{}, ""
		l.end(j, calls.Delivered, l.clean(answer))
	case j.last != "":
		l.end(j, calls.Withdrawn, j.last)
	case errors.Is(err, errOnHold):
		j.Tries-- // it was none
	case running.Err() != nil:
		// Cut off by the end of the daemon: nobody knows, so the next one tries.
	default:
		l.failed(now, j, err)
	}
}

// failed plans the next try, if another makes sense.
func (l *line) failed(now time.Time, j *job, err error) {
	said := l.clean(err.Error())
	if errors.Is(err, context.DeadlineExceeded) {
		said = fmt.Sprintf("no answer within %s", l.opt.Timeout)
	}
	l.health.fail(now, said)
	j.failures++
	pause := pauseAfter(j.failures)
	if f, ok := errors.AsType[*notice.Failure](err); ok {
		if f.Final {
			l.end(j, calls.GaveUp, said)
			return
		}
		asked := min(f.After, longestAsked)
		pause = max(pause, asked)
		l.asked = later(l.asked, now.Add(asked))
	}
	if j.due = now.Add(pause); !j.due.Before(j.expires) {
		l.end(j, calls.GaveUp, said+"; it has been tried long enough")
		return
	}
	l.health.count(calls.Failed)
	l.report(j, calls.Tried{Result: calls.Failed, Said: said, Next: pause})
}

func (l *line) clean(said string) string { return notice.Clean(said, l.opt.Secrets...) }
